package bench

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"loadscape/network"
	"loadscape/network/hearing"
	"loadscape/network/stage"
	"loadscape/network/wire"
	"loadscape/thielesmall"
)

// read reads a bench that is right.
func read(t *testing.T, text string) *Bench {
	t.Helper()
	b, err := Read("f.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// same holds what was decoded against what was written, to the last bit: a
// prefix must not cost a digit.
func same(t *testing.T, what string, got, want any) {
	t.Helper()
	if !reflect.DeepEqual(got, want) {
		t.Errorf("%s:\n%#v\nwant\n%#v", what, got, want)
	}
}

func TestTopKeys(t *testing.T) {
	b := read(t, "title: Attic\nsweep: {from: 0.03 kHz, to: 15kHz, per_octave: 12}\nlistening_band: {from: 80 Hz, to: 5 kHz}\n"+
		"listening_level: 105 dB\n"+goodLoads+goodAmplifiers+"setups:\n  one: {amplifier: head, load: plain}\n  two: {amplifier: desk, load: plain}\nreference: two\n")
	same(t, "title", b.Title, "Attic")
	same(t, "sweep", b.Sweep, network.Sweep{From: 30, To: 15e3, PerOctave: 12})
	same(t, "band", b.Band, hearing.Band{From: 80, To: 5000})
	same(t, "level", b.ListeningLevel, 105.0)
	same(t, "reference", b.Reference, "two")
	same(t, "setups", b.setupNames(), []string{"one", "two"})
}

// An empty bench has the defaults of the design: 20 Hz to 20 kHz at 48 points
// an octave, heard from 60 Hz to 10 kHz; the first setup is the reference.
func TestDefaults(t *testing.T) {
	b := read(t, "title: x\n")
	same(t, "sweep", b.Sweep, network.Sweep{From: 20, To: 20e3, PerOctave: 48})
	same(t, "band", b.Band, hearing.Band{From: 60, To: 10e3})
	same(t, "level", b.ListeningLevel, 0.0)
	same(t, "reference", b.Reference, "")
	b = read(t, goodLoads+goodAmplifiers+"setups:\n  one: {amplifier: head, load: plain}\n  two: {amplifier: desk, load: plain}\n")
	same(t, "reference", b.Reference, "one")
	b = read(t, "sweep: {per_octave: 3}\nlistening_band: {to: 8 kHz}\n")
	same(t, "the rest of a sweep", b.Sweep, network.Sweep{From: 20, To: 20e3, PerOctave: 3})
	same(t, "the rest of a band", b.Band, hearing.Band{From: 60, To: 8e3})
}

func TestDriverKeys(t *testing.T) {
	b := read(t, `drivers:
  all: {re: 6R5, fs: 78 Hz, qms: 8.2, qes: 0.92, vas: 51 L, sd: 522 cm2, xmax: 0.9 mm, rated_power: 30 W, rated_impedance: 8 Ω,
        mms: 38 g, cms: 0.11 mm/N, rms: 2.2 N s/m, bl: 11.5 T m, qts: 0.83, sensitivity: 98 dB,
        voice_coil: {inductance: 600 uH}, suspension: {creep: 0.08}, coil_temperature: 120 C}
  least: {re: 6.5 ohm, fs: 78 Hz, qms: 8.2, qes: 0.92}
`)
	same(t, "all", b.loads["all"].OnePort, thielesmall.Driver{
		Name: "all", Re: 6.5, Fs: 78, Qms: 8.2, Qes: 0.92, Vas: 51e-3, Sd: 522e-4, Xmax: 0.9e-3, RatedPower: 30, RatedImpedance: 8,
		VoiceCoil: thielesmall.Inductance{Le: 600e-6}, Suspension: thielesmall.Creep{Lambda: 0.08}, CoilTemperature: thielesmall.Celsius(120),
		Sheet: thielesmall.Sheet{Mms: 38e-3, Cms: 0.11e-3, Rms: 2.2, Bl: 11.5, Qts: 0.83, Sensitivity: 98},
	})
	same(t, "rated impedance", b.loads["all"].RatedImpedance, 8.0)
	same(t, "least", b.loads["least"].OnePort, thielesmall.Driver{Name: "least", Re: 6.5, Fs: 78, Qms: 8.2, Qes: 0.92})
}

func TestVoiceCoilKeys(t *testing.T) {
	for text, want := range map[string]thielesmall.VoiceCoil{
		"{inductance: 0.6 mH}": thielesmall.Inductance{Le: 0.6e-3},
		"{ladder: {l1: 0.2 mH, rungs: [{l: 0.9 mH, r: 7.5 ohm}, {l: 3 mH, r: 20 ohm}]}}": thielesmall.Ladder{L1: 0.2e-3, Rungs: []thielesmall.Rung{{L: 0.9e-3, R: 7.5}, {L: 3e-3, R: 20}}},
		"{ladder: {rungs: [{l: 0.9 mH, r: 7.5 ohm}]}}":                                   thielesmall.Ladder{Rungs: []thielesmall.Rung{{L: 0.9e-3, R: 7.5}}},
		"{power_law: {k: 0.03, n: 0.66}}":                                                thielesmall.PowerLaw{K: 0.03, N: 0.66},
		"{split_power_law: {kr: 3e-3, xr: 0.7, ki: 0.02, xi: 0.65}}":                     thielesmall.SplitPowerLaw{Kr: 3e-3, Xr: 0.7, Ki: 0.02, Xi: 0.65},
		"{semi_inductance: {leb: 0.05 mH, le: 0.8 mH, ke: 0.04, rss: 150 ohm}}":          thielesmall.SemiInductance{Leb: 0.05e-3, Le: 0.8e-3, Ke: 0.04, Rss: 150},
		"{semi_inductance: {ke: 0.04}}":                                                  thielesmall.SemiInductance{Ke: 0.04},
	} {
		b := read(t, coil("voice_coil: "+text))
		same(t, text, b.loads["a"].OnePort.(thielesmall.Driver).VoiceCoil, want)
	}
	for text, want := range map[string]thielesmall.Suspension{
		"viscous": thielesmall.Viscous{}, "{viscous: }": thielesmall.Viscous{}, "{creep: 0.5}": thielesmall.Creep{Lambda: 0.5},
	} {
		b := read(t, coil("suspension: "+text))
		same(t, text, b.loads["a"].OnePort.(thielesmall.Driver).Suspension, want)
	}
}

func TestEnclosureKeys(t *testing.T) {
	for text, want := range map[string]thielesmall.Enclosure{
		"free_air":          thielesmall.FreeAir{},
		"{infinite_baffle}": thielesmall.InfiniteBaffle{},
		"infinite_baffle":   thielesmall.InfiniteBaffle{},
		"{closed: {volume: 110 L, fill_factor: 1.1, leakage_q: 10, absorption_q: 20}}": thielesmall.Closed{Volume: 110e-3, FillFactor: 1.1, LeakageQ: 10, AbsorptionQ: 20},
		"{vented: {volume: 90 L, tuning: 62 Hz, leakage_q: 8, absorption_q: 30, port_q: 50, fill_factor: 1.05}}": thielesmall.Vented{
			Volume: 90e-3, Tuning: 62, LeakageQ: 8, AbsorptionQ: 30, PortQ: 50, FillFactor: 1.05},
		"{vented: {volume: 90 L, port: {diameter: 100 mm, length: 12 cm, count: 2}}}": thielesmall.Vented{
			Volume: 90e-3, Port: thielesmall.Port{Diameter: 0.1, Length: 0.12, Count: 2}},
		"{vented: {volume: 90 L, port: {area: 80 cm2}}}": thielesmall.Vented{Volume: 90e-3, Port: thielesmall.Port{Area: 80e-4, Count: 1}},
		"{open_back: {volume: 68 L, opening: 900 cm2, thickness: 15 mm, leakage_q: 9, absorption_q: 40}}": thielesmall.OpenBack{
			Volume: 68e-3, Opening: 900e-4, Thickness: 15e-3, LeakageQ: 9, AbsorptionQ: 40},
		"{passive_radiator: {volume: 40 L, sd: 330 cm2, mms: 95 g, cms: 0.4 mm/N, rms: 1.5 kg/s, count: 2}}": thielesmall.PassiveRadiator{
			Volume: 40e-3, Sd: 330e-4, Mms: 95e-3, Cms: 0.4e-3, Rms: 1.5, Count: 2},
	} {
		b := read(t, "air: {temperature: 5 C, pressure: 90 kPa}\n"+cabinet("{driver: twelve, rated_impedance: 16 ohm, enclosure: "+text+"}"))
		k := b.loads["k"].OnePort.(thielesmall.Cabinet)
		same(t, text, k.Enclosure, want)
		same(t, "air", k.Air, thielesmall.Air{Temperature: thielesmall.Celsius(5), Pressure: 90e3})
		same(t, "rated impedance", []float64{k.RatedImpedance, b.loads["k"].RatedImpedance}, []float64{16, 16})
		same(t, "drivers", k.Drivers(), []thielesmall.Driver{b.loads["twelve"].OnePort.(thielesmall.Driver)})
	}
	b := read(t, cabinet("{driver: twelve, enclosure: free_air}"))
	same(t, "air of the default", b.loads["k"].OnePort.(thielesmall.Cabinet).Air, thielesmall.Air{})
}

func TestPartKeys(t *testing.T) {
	for text, want := range map[string]network.OnePort{
		"{resistor: 4k7, tolerance: 5 %, power_rating: 100 W}": network.Resistor{Ohms: 4700, Rating: network.Rating{Power: 100, Tolerance: 0.05, FreeAir: true}},
		"{resistor: 8 ohm, heat_sink: true}":                   network.Resistor{Ohms: 8},
		"{resistor: 8 ohm, heat_sink: false}":                  network.Resistor{Ohms: 8, Rating: network.Rating{FreeAir: true}},
		"{inductor: 20 mH, dcr: 0.8 ohm, core_loss: 1.5 kohm, tolerance: 0.1, current_rating: 3 A}": network.Inductor{
			Henries: 20e-3, DCR: 0.8, CoreLoss: 1500, Rating: network.Rating{Current: 3, Tolerance: 0.1}},
		"{capacitor: 220 uF, esr: 50 mohm, tolerance: 20%, voltage_rating: 100 V}": network.Capacitor{
			Farads: 220e-6, ESR: 0.05, Rating: network.Rating{Voltage: 100, Tolerance: 0.2}},
		"{power_law: {k: 0.03, n: 0.6}}": network.Single{Kind: "power_law", Element: network.PowerLaw{K: 0.03, N: 0.6}},
		"{series: [{resistor: 1 ohm, heat_sink: true}, {parallel: [{resistor: 2 ohm, heat_sink: true}, {capacitor: 3 F}]}]}": network.Series{
			network.Resistor{Ohms: 1}, network.Parallel{network.Resistor{Ohms: 2}, network.Capacitor{Farads: 3}}},
		"{circuit: {between: [in, gnd], parts: [{resistor: 4 ohm, heat_sink: true, from: in, to: a}, {inductor: 2 mH, from: a, to: gnd}]}}": network.Mesh{
			Between: [2]string{"in", "gnd"}, Parts: []network.MeshPart{
				{OnePort: network.Resistor{Ohms: 4}, From: "in", To: "a"}, {OnePort: network.Inductor{Henries: 2e-3}, From: "a", To: "gnd"}}},
	} {
		same(t, text, read(t, load(text)).loads["x"].OnePort, want)
		rated := strings.TrimSuffix(text, "}") + ", rated_impedance: 16 ohm}"
		same(t, rated, read(t, load(rated)).loads["x"], network.Named{Name: "x", RatedImpedance: 16, OnePort: want})
	}
	b := read(t, load("twelve"))
	same(t, "a name", b.loads["x"], network.Named{Name: "x", OnePort: b.loads["twelve"]})
}

// A cable is the resistance of two conductors and the inductance of the loop.
func TestCableKeys(t *testing.T) {
	gauge, err := wire.ParseAWG("16 AWG")
	if err != nil {
		t.Fatal(err)
	}
	for text, want := range map[string]struct{ area, loop float64 }{
		"{length: 6 m, gauge: 16 AWG}":                               {gauge.Area(), 0.6e-6}, // default of common practice
		"{length: 6 m, area: 1.5 mm2, loop_inductance: 0.7 uH/m}":    {1.5e-6, 0.7e-6},
		"{length: 600 cm, area: 1.5 mm², loop_inductance: 700 nH/m}": {1.5e-6, 0.7e-6},
	} {
		b := read(t, setup("{amplifier: head, cable: "+text+", load: plain}"))
		arm := b.Setups[0].Links[0].Before[0].(network.NamedTwoPort).TwoPort.(network.SeriesArm).OnePort.(network.Inductor)
		near(t, text+": resistance", complex(arm.DCR, 0), complex(2*6*wire.Resistivity/want.area, 0), 1e-14)
		near(t, text+": inductance", complex(arm.Henries, 0), complex(6*want.loop, 0), 1e-14)
	}
	b := read(t, setup("{amplifier: head, cable: {length: 6 m, area: 1.5 mm2, loop_inductance: 0 H/m}, load: plain}"))
	arm := b.Setups[0].Links[0].Before[0].(network.NamedTwoPort).TwoPort.(network.SeriesArm)
	if r, ok := arm.OnePort.(network.Resistor); !ok || math.Abs(r.Ohms-2*6*wire.Resistivity/1.5e-6) > 1e-12 {
		t.Errorf("a cable without inductance: %#v", arm)
	}
}

func TestAmplifierKeys(t *testing.T) {
	const valve = "stage: valve, rated_power: 40 W, "
	for text, want := range map[string]stage.Stage{
		"stage: solid-state, rated_power: 0.1 kW, tap: 8 ohm, output_impedance: 50 mohm": {Kind: stage.SolidState, RatedPower: 100, DefaultTap: 8, Source: stage.OutputImpedance(0.05)},
		"stage: solid-state, rated_power: 100 W, tap: 8 ohm, output_impedance: 0 ohm":    {Kind: stage.SolidState, RatedPower: 100, DefaultTap: 8, Source: stage.OutputImpedance(0)},
		valve + "taps: [4 ohm, 8 ohm, 16 ohm], tap: 8 ohm, damping_factor: 0.9":          {Kind: stage.Valve, RatedPower: 40, Taps: []float64{4, 8, 16}, DefaultTap: 8, Source: stage.DampingFactor(0.9)},
		valve + "taps: [4 ohm, 8 ohm], damping_factor: 0.9":                              {Kind: stage.Valve, RatedPower: 40, Taps: []float64{4, 8}, Source: stage.DampingFactor(0.9)},
		valve + "tap: 8 ohm, two_load_test: {volts: [4.0 V, 3600 mV], ohms: [8 ohm, 4R]}": {Kind: stage.Valve, RatedPower: 40, DefaultTap: 8,
			Source: stage.TwoLoadTest{Volts: [2]float64{4, 3.6}, Ohms: [2]float64{8, 4}}},
		valve + "tap: 8 ohm, two_load_test: {volts: [4, 3.6], ohms: [8, 4]}": {Kind: stage.Valve, RatedPower: 40, DefaultTap: 8,
			Source: stage.TwoLoadTest{Volts: [2]float64{4, 3.6}, Ohms: [2]float64{8, 4}}},
		valve + "tap: 8 ohm, valves: {source_resistance: 30 kohm}, transformer: {primary_impedance: 6.6 kohm, primary_inductance: 40 H, " +
			"leakage_inductance: 20 mH, primary_resistance: 180 ohm, secondary_resistance: 0.3 ohm}, " +
			"feedback: {amount: 6 dB, presence: {turnover: 1.2 kHz, release: 5 dB}, depth: {turnover: 100 Hz, release: 4 dB}}": {
			Kind: stage.Valve, RatedPower: 40, DefaultTap: 8,
			Source: stage.Valves{SourceResistance: 30e3, Transformer: stage.Transformer{
				PrimaryImpedance: 6600, PrimaryInductance: 40, LeakageInductance: 20e-3, PrimaryResistance: 180, SecondaryResistance: 0.3}},
			Feedback: stage.Feedback{Amount: 6, Presence: stage.Shelf{Turnover: 1200, Release: 5}, Depth: stage.Shelf{Turnover: 100, Release: 4}},
		},
	} {
		b := read(t, "amplifiers:\n  a: {"+text+"}\nsetups:\n  s: {amplifier: a, load: {resistor: 8 ohm}}\n")
		same(t, text, b.Setups[0].Links[0].Stage, want)
	}
}

func TestSetupKeys(t *testing.T) {
	b := read(t, setup("{amplifier: head, tap: 4 ohm, cable: lead, load_cable: lead, load: {parallel: [plain, twelve]}}"))
	s := b.Setups[0]
	same(t, "name", s.Name, "s")
	l := s.Links[0]
	same(t, "tap", l.Tap, 4.0)
	same(t, "load", l.Load, network.OnePort(network.Parallel{b.loads["plain"], b.loads["twelve"]}))
	same(t, "cables", l.After, l.Before)
	same(t, "name of the cable", l.Before[0].Label(), "lead")
	same(t, "attenuator", l.Attenuator, network.TwoPort(nil))
	b = read(t, setup("{amplifier: head, load: plain}"))
	same(t, "default tap", b.Setups[0].Links[0].Tap, 0.0)
}
