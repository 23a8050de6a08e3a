package bench

import (
	"math/cmplx"
	"testing"

	"loadscape/network"
)

// impedance reads a bench and returns the impedance of the named thing.
func impedance(t *testing.T, text, name string, hz ...float64) []complex128 {
	t.Helper()
	b, err := Read("f.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	p, err := b.OnePort(name)
	if err != nil {
		t.Fatal(err)
	}
	z, err := network.Impedance(p, hz)
	if err != nil {
		t.Fatal(err)
	}
	return z
}

func near(t *testing.T, what string, got, want complex128, tolerance float64) {
	t.Helper()
	if cmplx.Abs(got-want) > tolerance*cmplx.Abs(want) {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

// load returns a load with the given keys, beside others that are right.
func load(keys string) string {
	return goodDrivers + "loads:\n  plain: {resistor: 8 ohm}\n  x: " + keys + "\n"
}

const (
	partKeys  = "resistor, inductor, capacitor, power_law, measured, series, parallel or circuit"
	partForms = "{resistor: ...}, {inductor: ...}, {capacitor: ...}, {power_law: ...}, {measured: ...}, {series: ...}, {parallel: ...} or {circuit: ...}"
	loadNames = `the name of a driver, cabinet or load: "bare", "plain", "twelve" or "x"`
)

func TestPartMistakes(t *testing.T) {
	check(t, []mistake{
		{"no unit", load("{resistor: ‹8}"), `loads.x.resistor: found "8", a number without a unit; expected a resistance such as 8 ohm, 4.7k or 4R7`},
		{"unit of another part", load("{inductor: ‹1 uF}"), `loads.x.inductor: found "1 uF", a capacitance; expected an inductance such as 0.6 mH`},
		{"decimal comma", load(`{resistor: ‹"4,7 ohm"}`),
			`loads.x.resistor: found "4,7 ohm", a number with a comma; expected a resistance such as 8 ohm, 4.7k or 4R7, with a decimal point and nothing between thousands`},
		{"zero", load("{resistor: ‹0 ohm}"), `loads.x.resistor: found "0 ohm"; expected a resistance above zero`},
		{"negative", load("{capacitor: ‹-220 uF, esr: ‹-1 ohm, voltage_rating: ‹-1 V}"),
			`loads.x.capacitor: found "-220 uF"; expected a capacitance above zero` + "\n" +
				`loads.x.esr: found "-1 ohm"; expected a resistance of at least zero` + "\n" +
				`loads.x.voltage_rating: found "-1 V"; expected a voltage above zero`},
		{"out of the solver's reach", load("‹{resistor: 1e-31 ohm}"),
			"loads.x: found a circuit that cannot be computed (network: x: resistance is 1e-31 ohm: expected a number from 1e-30 to 1e+30); expected one that can"},
		{"misspelt part", load("{‹resistr: 8 ohm}"), `loads.x.resistr: found the unknown key "resistr"; expected ` + partKeys + ` (did you mean "resistor"?)`},
		{"two parts", load("‹{resistor: 8 ohm, inductor: 1 mH}"), "loads.x: found resistor and inductor; expected only one of them"},
		{"no part", load("‹{power_rating: 8 W}"), `loads.x: found only "power_rating"; expected one of the keys ` + partKeys},
		{"empty", load("‹{}"), "loads.x: found an empty mapping; expected one of the keys " + partKeys},
		{"a list", load("‹[plain]"), "loads.x: found a list; expected " + partForms},
		{"nothing", goodLoads + "  ‹x:\n", "loads.x: found nothing; expected " + partForms},
		{"another part's qualifier", load("{resistor: 8 ohm, ‹dcr: 1 ohm}"),
			`loads.x.dcr: found the unknown key "dcr"; expected resistor, rated_impedance, power_rating, tolerance or heat_sink`},
		{"ratings", load("{resistor: 8 ohm, power_rating: ‹100, tolerance: ‹91 %, heat_sink: ‹yes, rated_impedance: ‹-8 ohm}"),
			`loads.x.power_rating: found "100", a number without a unit; expected a power such as 40 W` + "\n" +
				`loads.x.tolerance: found "91 %"; expected a ratio from zero to 0.9` + "\n" +
				`loads.x.heat_sink: found "yes"; expected true or false` + "\n" +
				`loads.x.rated_impedance: found "-8 ohm"; expected a resistance above zero`},
		{"power law", load("{power_law: {k: ‹0, n: ‹1.5}}"),
			`loads.x.power_law.k: found "0"; expected a plain number above zero` + "\n" +
				`loads.x.power_law.n: found "1.5"; expected a plain number from -1 to 1`},
		{"power law without values", load("{power_law: ‹‹{}}"),
			"loads.x.power_law.k: found nothing; expected a plain number such as 0.66\n" +
				"loads.x.power_law.n: found nothing; expected a plain number such as 0.66"},
		{"empty list", load("{series: ‹[]}"), "loads.x.series: found an empty list; expected a list such as [a, b]"},
		{"no list", load("{parallel: ‹{resistor: 8 ohm}}"), "loads.x.parallel: found a mapping; expected a list such as [a, b]"},
		{"deep", load("{series: [plain, {parallel: [plain, {resistor: ‹8 W}]}]}"),
			`loads.x.series[1].parallel[1].resistor: found "8 W", a power; expected a resistance such as 8 ohm, 4.7k or 4R7`},
	})
}

func TestReferenceMistakes(t *testing.T) {
	check(t, []mistake{
		{"unknown", load("{series: [‹plian, plain]}"), `loads.x.series[0]: found "plian"; expected ` + loadNames + ` (did you mean "plain"?)`},
		{"unlike any", load("‹thunder"), `loads.x: found "thunder"; expected ` + loadNames},
		{"itself", load("‹x"), `loads.x: found "x", which leads back to itself; expected no circle of references`},
		{"circle", "loads:\n  a: {series: [b, {resistor: 1 ohm}]}\n  b: {parallel: [c]}\n  c: ‹a\n",
			`loads.c: found "a", which leads back to itself; expected no circle of references`},
		{"names across sections", goodDrivers + "cabinets:\n  ‹bare: {driver: twelve, enclosure: free_air}\nloads:\n  ‹twelve: {resistor: 8 ohm}\n" +
			goodAmplifiers + "setups:\n  ‹bare: {amplifier: head, load: twelve}\n",
			`cabinets.bare: found the name "bare" again; expected another name: it is one of the drivers` + "\n" +
				`loads.twelve: found the name "twelve" again; expected another name: it is one of the drivers` + "\n" +
				`setups.bare: found the name "bare" again; expected another name: it is one of the drivers`},
		{"what refers to a mistake is none", "loads:\n  a: {resistor: ‹8}\n  b: {series: [a, a]}\n" + goodAmplifiers + "setups: {s: {amplifier: head, load: b}}\n",
			`loads.a.resistor: found "8", a number without a unit; expected a resistance such as 8 ohm, 4.7k or 4R7`},
	})
}

// A name may be used before it is explained, in any section.
func TestForwardReferences(t *testing.T) {
	z := impedance(t, "setups:\n  s: {amplifier: head, load: a}\nloads:\n  a: {series: [b, k]}\n  b: {parallel: [c, c]}\n  c: {resistor: 8 ohm}\n"+
		"cabinets:\n  k: {driver: twelve, enclosure: free_air}\n"+goodDrivers+goodAmplifiers, "s", 80)
	// At resonance a driver is Re(1 + Qms/Qes) (Small, J. Audio Eng. Soc. 20 (1972) 383).
	near(t, "s", z[0], 4+6*(1+8), 1e-9)
}

func TestCircuitMistakes(t *testing.T) {
	const part = "{resistor: 1 ohm, from: in, to: gnd}"
	check(t, []mistake{
		{"one node", load("{circuit: {between: ‹[in], parts: [" + part + "]}}"),
			"loads.x.circuit.between: found a list of another length; expected the two nodes between which the circuit is seen"},
		{"same node", load("{circuit: {between: ‹[in, in], parts: [" + part + "]}}"),
			"loads.x.circuit.between: found the same node twice; expected two different nodes"},
		{"no between", load("{circuit: ‹{parts: [" + part + "]}}"), "loads.x.circuit.between: found nothing; expected a list such as [a, b]"},
		{"no parts", load("{circuit: {between: [in, gnd], parts: ‹[]}}"), "loads.x.circuit.parts: found an empty list; expected a list such as [a, b]"},
		{"a part at one node", load("{circuit: {between: [in, gnd], parts: [" + part + ", {resistor: 1 ohm, from: in, to: ‹in}]}}"),
			"loads.x.circuit.parts[1].to: found the node in at both ends; expected two different nodes"},
		{"half a part", load("{circuit: {between: [in, gnd], parts: [‹{resistor: 1 ohm, to: gnd}]}}"),
			"loads.x.circuit.parts[0].from: found nothing; expected the name of a node"},
		{"a part's mistake", load("{circuit: {between: [in, gnd], parts: [{resistor: ‹1 mH, from: in, to: gnd}]}}"),
			`loads.x.circuit.parts[0].resistor: found "1 mH", an inductance; expected a resistance such as 8 ohm, 4.7k or 4R7`},
		{"floating", load("‹{circuit: {between: [in, gnd], parts: [" + part + ", {resistor: 2 ohm, from: p, to: q}]}}"),
			`loads.x: found a circuit that cannot be computed (network: floating: no path of parts leads to ground from "x/p", "x/q"); expected one that can`},
		{"not joined", load("‹{circuit: {between: [in, gnd], parts: [{resistor: 1 ohm, from: in, to: a}]}}"),
			`loads.x: found a circuit that cannot be computed (network: floating: no path of parts leads to ground from "in", "x/a"); expected one that can`},
		{"not a mapping", load("{circuit: ‹[1]}"), "loads.x.circuit: found a list; expected a mapping such as {key: value}"},
	})
}

func TestCableMistakes(t *testing.T) {
	check(t, []mistake{
		{"no size", "cables:\n  c: ‹{length: 6 m}\n", `cables.c: found only "length"; expected one of the keys gauge or area`},
		{"two sizes", "cables:\n  c: ‹{length: 6 m, gauge: 16 AWG, area: 1 mm2}\n", "cables.c: found gauge and area; expected only one of them"},
		{"no length", "cables:\n  c: ‹{gauge: 16 AWG}\n", "cables.c.length: found nothing; expected a length such as 15 mm or 6 m"},
		{"values", "cables:\n  c: {length: ‹6, area: ‹2 m, loop_inductance: ‹1 uH}\n",
			`cables.c.length: found "6", a number without a unit; expected a length such as 15 mm or 6 m` + "\n" +
				`cables.c.area: found "2 m", a length; expected an area such as 522 cm2 or 1.5 mm2` + "\n" +
				`cables.c.loop_inductance: found "1 uH", an inductance; expected an inductance per length such as 0.6 uH/m`},
		{"gauge", "cables:\n  c: {length: 6 m, gauge: ‹400 AWG}\n", `cables.c.gauge: found "400 AWG"; expected a wire gauge such as 16 AWG`},
		{"name", "cables:\n  ‹a/b: {length: 6 m, gauge: 16 AWG}\n",
			`cables.a/b: found the name "a/b"; expected a name without slashes and line breaks of at most 60 bytes`},
	})
}
