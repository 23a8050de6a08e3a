package thielesmall

import (
	"errors"
	"math"
	"strings"
	"testing"

	"loadscape/network"
)

// fields returns the fields that err complains of.
func fields(err error) []string {
	if err == nil {
		return nil
	}
	var names []string
	if joined, ok := err.(interface{ Unwrap() []error }); ok {
		for _, e := range joined.Unwrap() {
			names = append(names, fields(e)...)
		}
		return names
	}
	var f *FieldError
	if errors.As(err, &f) {
		names = append(names, f.Field)
	}
	return names
}

// crowd is one driver too many.
var crowd = network.Parallel{times(small, MaxDrivers, InSeries), small}

type validator interface{ Validate() error }

func TestValidateNamesEveryMistake(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, x := range []struct {
		of   validator
		want string // fields
	}{
		{Driver{Name: "empty"}, "re fs qms qes"},
		{Driver{Re: -1, Fs: nan, Qms: inf, Qes: 0.4, Vas: -1, Sd: nan, Xmax: -1, RatedPower: -1, RatedImpedance: inf}, "re fs qms vas sd xmax rated_power rated_impedance"},
		{Driver{Re: 6, Fs: 30, Qms: 5, Qes: 1, CoilTemperature: Celsius(500), VoiceCoil: Inductance{}, Suspension: Creep{0.6}}, "coil_temperature voice_coil.inductance.le suspension.creep"},
		{Driver{Re: 6, Fs: 30, Qms: 5, Qes: 1, Sheet: Sheet{-1, -1, -1, -1, -1, -1}}, "mms cms rms bl qts sensitivity"},
		{Ladder{}, "l1"},
		{Ladder{-1, []Rung{{1e-3, 0}, {0, 5}}}, "l1 rungs[0].r rungs[1].l"},
		{PowerLaw{0, 0.4}, "k n"},
		{PowerLaw{0.03, 1.1}, "n"},
		{SplitPowerLaw{-1, 3, 0, -1}, "kr xr ki xi"},
		{SemiInductance{-1, -1, 0, -1}, "leb le ke rss"},
		{Creep{-0.1}, "creep"},
		{Air{Celsius(300), -1}, "temperature pressure"},
		{Closed{0, 0.9, -1, nan}, "volume fill_factor leakage_q absorption_q"},
		{Closed{inf, 1.5, 7, 7}, "volume fill_factor"},
		{Vented{Volume: 0.1}, "tuning"},
		{Vented{Volume: 0.1, Tuning: 60, Port: Port{Area: 0.01}, PortQ: -1}, "port_q tuning"},
		{Vented{Volume: 0.1, Port: Port{Diameter: 0.1, Area: 0.1}}, "port.diameter"},
		{Vented{Volume: 0.1, Port: Port{Length: -1, Count: -1}}, "port.diameter port.length port.count"},
		{OpenBack{0.1, 0, -1, 0, 0}, "opening thickness"},
		{PassiveRadiator{0, 0, 0, 0, -1, -1}, "volume sd mms cms rms count"},
		{PassiveRadiator{0.1, 0.1, 0.1, 1e-3, 0, MaxDrivers + 1}, "count"},
		{Cabinet{}, "wiring"},
		{Cabinet{Wiring: crowd}, "wiring"},
		{Cabinet{Wiring: small, RatedImpedance: -8, Enclosure: Closed{}, Air: Air{Pressure: 1}}, "rated_impedance air.pressure enclosure.closed.volume"},
		{Cabinet{Wiring: Driver{Name: "d", Re: 6, Fs: 30, Qms: 5, Qes: 1}, Enclosure: Closed{Volume: 0.1}}, "driver d"},
		{Cabinet{Wiring: network.Series{Driver{Name: "d"}, small}}, "driver d.re driver d.fs driver d.qms driver d.qes"},
	} {
		if got := strings.Join(fields(x.of.Validate()), " "); got != x.want {
			t.Errorf("%#v: complains of %s, want %s", x.of, got, x.want)
		}
	}
}

// The values at the edges, and those that stand for none.
func TestValidateAcceptsTheEdges(t *testing.T) {
	inf := math.Inf(1)
	for _, v := range []validator{
		small, full,
		PowerLaw{0.03, 0.5}, PowerLaw{0.03, 1}, SplitPowerLaw{Ki: 1}, SemiInductance{Ke: 0.04}, Ladder{L1: 1e-3}, Ladder{Rungs: []Rung{{1e-3, 5}}},
		Creep{0}, Creep{0.5}, Viscous{}, Air{}, Air{Pressure: 90e3}, FreeAir{}, InfiniteBaffle{},
		Closed{0.1, 1.4, inf, inf}, Closed{0.1, 1, 0, 0}, Vented{Volume: 0.1, Tuning: 60, LeakageQ: inf}, Vented{Volume: 0.1, Port: Port{Diameter: 0.1}},
		OpenBack{Volume: 0.1, Opening: 0.1}, PassiveRadiator{Volume: 0.1, Sd: 0.1, Mms: 0.1, Cms: 1e-3},
		Cabinet{Wiring: small}, Cabinet{Wiring: network.Parallel{small, full}, Enclosure: Closed{Volume: 1}},
	} {
		if err := v.Validate(); err != nil {
			t.Errorf("%#v: %v", v, err)
		}
	}
}

// What is laid in spite of its mistakes is reported by the circuit, and says
// what it is and what was expected.
func TestMistakesReachTheCircuit(t *testing.T) {
	ratios := small
	ratios.Sd = 0
	for _, x := range []struct {
		p    network.OnePort
		says string
	}{
		{Driver{Name: "d", Re: 6, Fs: 30, Qms: 5}, "thielesmall: driver d: qes is 0: expected a positive, finite number"},
		{Cabinet{Name: "k", Wiring: ratios, Enclosure: OpenBack{0.1, 0.1, 0, 0, 0}}, "thielesmall: cabinet k: driver small is without vas and sd: expected both"},
		{network.Series{network.Resistor{Ohms: 8}, Cabinet{Name: "k"}}, "thielesmall: cabinet k: wiring is of 0 drivers"},
	} {
		_, err := network.Impedance(x.p, []float64{100})
		if err == nil || !strings.Contains(err.Error(), x.says) {
			t.Errorf("%v, want %q", err, x.says)
		}
	}
	if _, err := (Cabinet{Name: "k"}).Response([]float64{100}, 1); err == nil {
		t.Error("response of a cabinet without drivers: no error")
	}
}

// A voice coil of a caller's own may complain in its own words.
type foreignCoil struct{ Inductance }

func (foreignCoil) Validate() error { return errors.New("worn out") }

func TestForeignErrors(t *testing.T) {
	d := small
	d.VoiceCoil = foreignCoil{}
	if err := d.Validate(); err == nil || !strings.Contains(err.Error(), "driver small: voice_coil.inductance is worn out") {
		t.Errorf("%v", err)
	}
}
