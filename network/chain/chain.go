// Package chain follows a signal from an output stage through cables and
// attenuators to a load, and on through a second amplifier where a load box
// is re-amped.
//
// A [Setup] is a chain of links. Each [Link] is an amplifier, what lies
// between it and its load, and the load. The impedance that a link's
// amplifier sees is that at its tap; the terminal voltage is that at its
// load. The next link starts from that voltage, so that the load of one link
// acts on the next through the voltage alone.
package chain

import (
	"errors"
	"fmt"
	"math"
	"math/cmplx"
	"slices"

	"loadscape/network"
	"loadscape/network/stage"
)

// A Link is an amplifier and what it drives.
type Link struct {
	Stage stage.Stage
	Tap   float64 // ohm; 0: the stage's default tap
	// From the tap to the load: cables before, an attenuator, cables after.
	Before     network.Cascade
	Attenuator network.TwoPort // nil: none
	After      network.Cascade
	Load       network.OnePort
	// Gain is the level in dB at which this link runs: 0 brings rated power
	// into the tap's rated resistance at 1 kHz, when every link before it runs
	// at its own rated drive.
	Gain float64
}

// Path returns all that lies between the tap and the load.
func (l Link) Path() network.Cascade {
	path := slices.Clone(l.Before)
	if l.Attenuator != nil {
		path = append(path, l.Attenuator)
	}
	return append(path, l.After...)
}

// A Setup is a named chain of one or more links. The first link's amplifier
// is the one that is to be kept from harm, the last link's load is the one
// that is listened to.
type Setup struct {
	Name  string
	Links []Link
}

// Result is what a setup does at each frequency of Hz.
type Result struct {
	Setup Setup
	Hz    []float64
	Links []LinkResult
	// Response is the terminal voltage of the listened-to load over the first
	// amplifier's EMF at 1 kHz.
	Response []complex128
	Warnings []string
}

// LinkResult is what one link of a setup does at each frequency, with its
// amplifier at the drive that the link's gain asks for.
type LinkResult struct {
	Output   *stage.Output
	Seen     []complex128 // impedance at the tap, ohm
	Load     []complex128 // impedance of the load itself, ohm
	Source   []complex128 // impedance that the load looks back into, ohm
	EMF      []complex128 // V
	Terminal []complex128 // voltage at the load, V
	Parts    []PartUse    // the electrical parts, in the order of the circuit
}

// PartUse is what a part bears at each frequency.
type PartUse struct {
	network.Part
	Power   []float64 // W
	Current []float64 // A, RMS
	Voltage []float64 // V, RMS
}

// Run computes the setup at the frequencies hz, which are in hertz. Errors
// are those of the stage, the circuit and the solver, with the setup's name.
func (s Setup) Run(hz []float64) (*Result, error) {
	if len(s.Links) == 0 {
		return nil, fmt.Errorf("chain: %s: no amplifier", s.Name)
	}
	r := &Result{Setup: s, Hz: hz}
	for i, l := range s.Links {
		link, err := r.run(l)
		var near *network.Condition
		switch {
		case errors.As(err, &near):
			r.Warnings = append(r.Warnings, near.Error())
		case err != nil:
			return nil, fmt.Errorf("%s: %w", s.Name, err)
		}
		if i > 0 {
			r.drive(link, l.Gain)
		}
		r.Links = append(r.Links, *link)
	}
	r.respond()
	return r, nil
}

// Last returns the link that is listened to.
func (r *Result) Last() *LinkResult { return &r.Links[len(r.Links)-1] }

// run computes a link by itself at rated drive.
func (r *Result) run(l Link) (*LinkResult, error) {
	out, err := l.Stage.At(l.Tap)
	if err != nil {
		return nil, err
	}
	c := network.NewCircuit()
	tap := c.Node("tap")
	load := l.Path().Lay(c, "path", tap, network.Ground)
	l.Load.Lay(c, l.Load.Label(), load, network.Ground)
	plan, err := c.Compile(tap, network.Ground)
	if err != nil {
		return nil, err
	}
	sol, err := plan.NewSolver().Solve(r.Hz)
	if sol == nil {
		return nil, err
	}
	link := &LinkResult{Output: out, Seen: sol.Impedance()}
	amps := link.excite(r.Hz, sol.Voltage(load))
	link.use(plan.Parts(), sol, amps)
	if errSource := link.lookBack(l, r.Hz); errSource != nil {
		return nil, errSource
	}
	if link.Load = link.Seen; len(l.Path()) > 0 {
		if link.Load, _ = network.Impedance(l.Load, r.Hz); link.Load == nil {
			return nil, fmt.Errorf("chain: %s cannot be computed by itself", l.Load.Label())
		}
	}
	return link, err
}

// excite sets the EMF and the terminal voltage, of which perAmpere is that
// for one ampere into the tap, and returns the current into the tap.
func (l *LinkResult) excite(hz []float64, perAmpere []complex128) (amps []complex128) {
	n := len(hz)
	l.EMF, l.Terminal, amps = make([]complex128, n), make([]complex128, n), make([]complex128, n)
	for i, f := range hz {
		w := 2 * math.Pi * f
		l.EMF[i] = l.Output.EMF(w)
		amps[i] = l.EMF[i] / (l.Output.Impedance(w) + l.Seen[i])
		l.Terminal[i] = amps[i] * perAmpere[i]
	}
	return amps
}

// use stores what the electrical parts bear at the current amps.
func (l *LinkResult) use(parts []network.Part, sol *network.Solution, amps []complex128) {
	for id, p := range parts {
		if p.Domain != network.Electrical {
			continue
		}
		u := PartUse{
			Part:    p,
			Power:   sol.PartPower(network.PartID(id)),
			Current: sol.PartCurrent(network.PartID(id)),
			Voltage: sol.PartVoltage(network.PartID(id)),
		}
		for i, a := range amps {
			u.scale(i, cmplx.Abs(a))
		}
		l.Parts = append(l.Parts, u)
	}
}

// scale multiplies what the part bears at frequency i by a factor of level.
func (u *PartUse) scale(i int, factor float64) {
	u.Power[i] *= factor * factor
	u.Current[i] *= factor
	u.Voltage[i] *= factor
}

// lookBack sets the source impedance that the load sees.
func (l *LinkResult) lookBack(link Link, hz []float64) error {
	l.Source = make([]complex128, len(hz))
	for i, f := range hz {
		l.Source[i] = l.Output.Impedance(2 * math.Pi * f)
	}
	if len(link.Path()) == 0 {
		return nil
	}
	c := network.NewCircuit()
	tap := c.Node("tap")
	c.Branch(c.Part("source", network.Electrical, network.Rating{}), tap, network.Ground, sourceElement{l.Output})
	load := link.Path().Lay(c, "path", tap, network.Ground)
	plan, err := c.Compile(load, network.Ground)
	if err != nil {
		return err
	}
	var near *network.Condition
	if l.Source, err = plan.NewSolver().Impedance(l.Source, hz); errors.As(err, &near) {
		return nil // the forward solution has its own warning
	}
	return err
}

// sourceElement is an amplifier's source impedance as an element.
type sourceElement struct{ *stage.Output }

// leastSource stands for a source impedance of zero, in ohms.
const leastSource = 1e-9

func (s sourceElement) Admittance(w float64) complex128 {
	z := s.Output.Impedance(w)
	if cmplx.Abs(z) < leastSource {
		z = leastSource
	}
	return 1 / z
}

// drive lets the link start from the terminal voltage of the one before it:
// its EMF follows that voltage's shape, with the level at 1 kHz as rated plus
// gain in dB.
func (r *Result) drive(l *LinkResult, gain float64) {
	before := r.Last()
	for i := range r.Hz {
		rated := before.Output.Voltage(2*math.Pi*stage.ReferenceFrequency, complex(before.Output.Tap(), 0))
		factor := before.Terminal[i] / rated * complex(math.Pow(10, gain/20), 0)
		l.EMF[i] *= factor
		l.Terminal[i] *= factor
		for k := range l.Parts {
			l.Parts[k].scale(i, cmplx.Abs(factor))
		}
	}
}

func (r *Result) respond() {
	emf := r.Links[0].Output.EMF(2 * math.Pi * stage.ReferenceFrequency)
	r.Response = make([]complex128, len(r.Hz))
	for i, v := range r.Last().Terminal {
		r.Response[i] = v / emf
	}
}
