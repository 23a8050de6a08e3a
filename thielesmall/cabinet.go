package thielesmall

import (
	"fmt"

	"loadscape/network"
)

// A Cabinet is drivers in an enclosure. They share its chamber and load each
// other through it.
type Cabinet struct {
	Name           string
	RatedImpedance float64 // ohm; 0: not stated

	// Wiring joins the drivers: a [Driver], or [network.Series] and
	// [network.Parallel] of drivers to any depth; [Wire] makes the usual ones
	// of equal drivers. Other one-ports may stand in it, as a capacitor before
	// a tweeter.
	Wiring network.OnePort

	Enclosure Enclosure // nil: FreeAir
	Air       Air       // zero: the default air
}

var _ network.OnePort = Cabinet{}

// Label returns the cabinet's name.
func (k Cabinet) Label() string { return k.Name }

// Drivers returns the drivers in the order in which they stand in the wiring.
func (k Cabinet) Drivers() []Driver {
	var drivers []Driver
	if k.Wiring != nil {
		seat(k.Wiring, func(d Driver) network.OnePort {
			drivers = append(drivers, d)
			return d
		})
	}
	return drivers
}

// Validate reports everything that is impossible about the cabinet, its
// drivers and its enclosure, a [*FieldError] for each mistake.
func (k Cabinet) Validate() error {
	var c checker
	c.optional("rated_impedance", k.RatedImpedance, "ohm")
	c.nested("air", k.Air.Validate())
	c.nested("enclosure."+k.enclosure().Label(), k.enclosure().Validate())
	drivers := k.Drivers()
	if len(drivers) == 0 || len(drivers) > MaxDrivers {
		c.add("wiring", fmt.Sprintf("of %d drivers", len(drivers)), fmt.Sprintf("from 1 to %d", MaxDrivers))
	}
	for _, d := range distinct(drivers) {
		c.nested(d.title(), d.Validate())
		if k.enclosure().loads() && !d.Absolute() {
			c.add(d.title(), "without vas and sd", "both, which an enclosure other than free_air and infinite_baffle needs")
		}
	}
	return c.err(k.title())
}

// Check returns what is doubtful about the cabinet: contradictions in the data
// sheets of its drivers, defaults that act, limits of the model.
func (k Cabinet) Check() []Warning {
	drivers := k.Drivers()
	w := k.enclosure().check(mounting{k.Air, drivers})
	for i := range w {
		w[i].Of = k.title() + ": " + w[i].Of
	}
	for _, d := range distinct(drivers) {
		w = append(w, d.Check()...)
	}
	return w
}

// Lay lays the wiring and, behind its drivers, the enclosure.
func (k Cabinet) Lay(c *network.Circuit, path string, a, b network.Node) { k.LayProbe(c, path, a, b) }

// LayProbe does what Lay does, and returns where what moves is to be found in
// a solution of the circuit: for a cabinet that is driven through others.
// It is nil for a cabinet that is not valid, which the circuit then reports.
func (k Cabinet) LayProbe(c *network.Circuit, path string, a, b network.Node) *Probe {
	if err := k.Validate(); err != nil {
		c.Reject(err)
		return nil
	}
	drivers := k.Drivers()
	behind := &box{mounting: mounting{k.Air, drivers}, circuit: c, path: path}
	k.enclosure().lay(behind)
	p := &Probe{box: behind}
	names := seatNames(drivers)
	mounted := seat(k.Wiring, func(d Driver) network.OnePort {
		s := seated{d, path + "/" + names[0], p}
		names = names[1:]
		return s
	})
	mounted.Lay(c, path, a, b)
	return p
}

func (k Cabinet) title() string { return "cabinet " + k.Name }

func (k Cabinet) enclosure() Enclosure {
	if k.Enclosure == nil {
		return FreeAir{}
	}
	return k.Enclosure
}

// seated is a driver at its place in a cabinet. Its parts are named after the
// place and not after the way in which it is wired.
type seated struct {
	Driver
	path  string
	probe *Probe
}

func (s seated) Lay(c *network.Circuit, _ string, a, b network.Node) {
	velocity := s.Driver.lay(c, s.path, a, b, s.probe.box.rear)
	s.probe.cones = append(s.probe.cones, cone{s.path, s.Driver, velocity})
}
