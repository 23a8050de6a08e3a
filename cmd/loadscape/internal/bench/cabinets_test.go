package bench

import (
	"fmt"
	"strings"
	"testing"
)

// cabinet returns the good drivers and a cabinet with the given keys.
func cabinet(keys string) string { return goodDrivers + "cabinets:\n  k: " + keys + "\n" }

const enclosures = "free_air, infinite_baffle, {closed: ...}, {vented: ...}, {open_back: ...} or {passive_radiator: ...}"

func TestCabinetMistakes(t *testing.T) {
	check(t, []mistake{
		{"unknown driver", cabinet("{driver: ‹twelwe, enclosure: free_air}"),
			`cabinets.k.driver: found "twelwe"; expected the name of a driver: "bare" or "twelve" (did you mean "twelve"?)`},
		{"a cabinet as a driver", cabinet("{driver: ‹k, enclosure: free_air}"),
			`cabinets.k.driver: found "k"; expected the name of a driver: "bare" or "twelve"`},
		{"no drivers at all", "cabinets:\n  k: {driver: ‹twelve, enclosure: free_air}\n",
			`cabinets.k.driver: found "twelve"; expected the name of a driver, of which there are none`},
		{"nothing", cabinet("‹‹{}"), "cabinets.k.driver: found nothing; expected the name of a driver\n" +
			"cabinets.k.enclosure: found nothing; expected " + enclosures},
		{"unknown key", cabinet("{driver: twelve, ‹enclosur: free_air}"),
			`cabinets.k.enclosur: found the unknown key "enclosur"; expected rated_impedance, wiring, driver, count or enclosure (did you mean "enclosure"?)`},
		{"rated impedance", cabinet("{driver: twelve, enclosure: free_air, rated_impedance: ‹8}"),
			`cabinets.k.rated_impedance: found "8", a number without a unit; expected a resistance such as 8 ohm, 4.7k or 4R7`},
		{"no vas and sd", cabinet("‹{driver: bare, enclosure: {closed: {volume: 50 L}}}"),
			"cabinets.k: found driver bare without vas and sd; expected both, which an enclosure other than free_air and infinite_baffle needs"},
		{"a driver that is wrong already", "drivers:\n  a: {re: 6 ohm, fs: 80 Hz, qms: 8, qes: 1, vas: ‹50, sd: 500 cm2}\ncabinets:\n  k: {driver: a, enclosure: {closed: {volume: 50 L}}}\n",
			`drivers.a.vas: found "50", a number without a unit; expected a volume such as 68 L`},
	})
}

func TestWiringMistakes(t *testing.T) {
	const enclosed = ", enclosure: free_air}"
	check(t, []mistake{
		{"unknown", cabinet("{driver: twelve, count: 2, wiring: ‹paralel" + enclosed),
			`cabinets.k.wiring: found "paralel"; expected parallel, series or series-parallel (did you mean "parallel"?)`},
		{"missing", cabinet("‹{driver: twelve, count: 2" + enclosed),
			"cabinets.k.wiring: found nothing; expected parallel, series, series-parallel or {parallel: [...]}"},
		{"count", cabinet("{driver: twelve, wiring: series, count: ‹0" + enclosed), `cabinets.k.count: found "0"; expected a whole number from 1 to 64`},
		{"crowd", cabinet("{driver: twelve, wiring: series, count: ‹65" + enclosed), `cabinets.k.count: found "65"; expected a whole number from 1 to 64`},
		{"half a driver", cabinet("{driver: twelve, wiring: series, count: ‹2.5" + enclosed), `cabinets.k.count: found "2.5"; expected a whole number from 1 to 64`},
		{"odd", cabinet("{driver: twelve, wiring: series-parallel, count: ‹3" + enclosed),
			"cabinets.k.count: found 3 drivers in series-parallel; expected an even number from 4 up, or the wiring written out as {parallel: [...]}"},
		{"two", cabinet("{driver: twelve, wiring: series-parallel, count: ‹2" + enclosed),
			"cabinets.k.count: found 2 drivers in series-parallel; expected an even number from 4 up, or the wiring written out as {parallel: [...]}"},
		{"counted twice", cabinet("{wiring: {parallel: [twelve, bare]}, driver: ‹twelve, count: ‹2" + enclosed),
			`cabinets.k.driver: found the key "driver"; expected no such key beside a wiring that names the drivers` + "\n" +
				`cabinets.k.count: found the key "count"; expected no such key beside a wiring that names the drivers`},
		{"unknown driver", cabinet("{wiring: {parallel: [twelve, {series: [‹twelv, bare]}]}" + enclosed),
			`cabinets.k.wiring.parallel[1].series[0]: found "twelv"; expected the name of a driver: "bare" or "twelve" (did you mean "twelve"?)`},
		{"empty", cabinet("{wiring: {parallel: ‹[]}" + enclosed), "cabinets.k.wiring.parallel: found an empty list; expected a list such as [a, b]"},
		{"a list in a list", cabinet("{wiring: {parallel: [twelve, ‹[bare]]}" + enclosed),
			"cabinets.k.wiring.parallel[1]: found a list; expected {series: ...} or {parallel: ...}"},
		{"a load among drivers", cabinet("{wiring: {parallel: [‹{resistor: 8 ohm}]}" + enclosed),
			`cabinets.k.wiring.parallel[0]: found only "resistor"; expected one of the keys series or parallel`},
		{"too many", cabinet("{wiring: ‹{series: [" + strings.Repeat("twelve, ", 64) + "twelve]}" + enclosed),
			"cabinets.k.wiring: found 65 drivers; expected at most 64"},
	})
}

func TestEnclosureMistakes(t *testing.T) {
	in := func(enclosure string) string { return cabinet("{driver: twelve, enclosure: " + enclosure + "}") }
	check(t, []mistake{
		{"misspelt", in("‹freeair"), `cabinets.k.enclosure: found "freeair"; expected ` + enclosures + ` (did you mean "free_air"?)`},
		{"alone", in("‹closed"), "cabinets.k.enclosure: found the word closed alone; expected {closed: ...} with its values"},
		{"two kinds", in("‹{closed: {volume: 9 L}, vented: {volume: 9 L, tuning: 60 Hz}}"),
			"cabinets.k.enclosure: found closed and vented; expected only one of them"},
		{"free air with a value", in("{free_air: ‹{volume: 3 L}}"), "cabinets.k.enclosure.free_air: found a mapping; expected no value: free_air has none"},
		{"closed", in("{closed: {volume: ‹9, fill_factor: ‹1.5, leakage_q: ‹0, absorption_q: ‹-1}}"),
			`cabinets.k.enclosure.closed.volume: found "9", a number without a unit; expected a volume such as 68 L` + "\n" +
				`cabinets.k.enclosure.closed.fill_factor: found "1.5"; expected a plain number from 1 to 1.4` + "\n" +
				`cabinets.k.enclosure.closed.leakage_q: found "0"; expected a plain number above zero` + "\n" +
				`cabinets.k.enclosure.closed.absorption_q: found "-1"; expected a plain number above zero`},
		{"closed with a port", in("{closed: {volume: 9 L, ‹tuning: 60 Hz}}"),
			`cabinets.k.enclosure.closed.tuning: found the unknown key "tuning"; expected volume, fill_factor, leakage_q or absorption_q`},
		{"neither tuning nor port", in("{vented: ‹{volume: 9 L}}"),
			`cabinets.k.enclosure.vented: found only "volume"; expected one of the keys tuning or port`},
		{"both", in("{vented: ‹{volume: 9 L, tuning: 60 Hz, port: {diameter: 5 cm}}}"),
			"cabinets.k.enclosure.vented: found tuning and port; expected only one of them"},
		{"port without a size", in("{vented: {volume: 9 L, port: ‹{length: 5 cm, count: 2}}}"),
			`cabinets.k.enclosure.vented.port: found only "length" and "count"; expected one of the keys diameter or area`},
		{"port with two", in("{vented: {volume: 9 L, port: ‹{diameter: 5 cm, area: 20 cm2}}}"),
			"cabinets.k.enclosure.vented.port: found diameter and area; expected only one of them"},
		{"port's units", in("{vented: {volume: 9 L, port: {diameter: ‹5 cm2, length: ‹-1 cm, count: ‹-1}}}"),
			`cabinets.k.enclosure.vented.port.diameter: found "5 cm2", an area; expected a length such as 15 mm or 6 m` + "\n" +
				`cabinets.k.enclosure.vented.port.length: found "-1 cm"; expected a length of at least zero` + "\n" +
				`cabinets.k.enclosure.vented.port.count: found "-1"; expected a whole number from 1 to 64`},
		{"open back", in("{open_back: {volume: 9 L, ‹openning: 9 cm2, thickness: ‹15}}"),
			`cabinets.k.enclosure.open_back.openning: found the unknown key "openning"; expected volume, leakage_q, absorption_q, opening or thickness (did you mean "opening"?)` + "\n" +
				`cabinets.k.enclosure.open_back.thickness: found "15", a number without a unit; expected a length such as 15 mm or 6 m`},
		{"passive radiator", in("{passive_radiator: ‹‹{volume: 9 L, sd: 90 cm2, rms: ‹1 kg}}"),
			"cabinets.k.enclosure.passive_radiator.cms: found nothing; expected a compliance such as 0.12 mm/N\n" +
				"cabinets.k.enclosure.passive_radiator.mms: found nothing; expected a mass such as 38 g\n" +
				`cabinets.k.enclosure.passive_radiator.rms: found "1 kg", a mass; expected a mechanical resistance such as 2.1 N s/m or 2.1 kg/s`},
	})
}

// The word for a wiring joins as many drivers as it says: of N equal drivers
// in parallel the impedance is Z/N, in series N·Z, two in series twice in
// parallel Z.
func TestWiringWords(t *testing.T) {
	alone := impedance(t, cabinet("{driver: twelve, enclosure: free_air}"), "k", 30, 80, 1000)
	for wiring, times := range map[string]float64{
		"count: 3, wiring: parallel":        1.0 / 3,
		"count: 3, wiring: series":          3,
		"count: 4, wiring: series-parallel": 1,
	} {
		got := impedance(t, cabinet(fmt.Sprintf("{driver: twelve, %s, enclosure: free_air}", wiring)), "k", 30, 80, 1000)
		for i := range got {
			near(t, wiring, got[i], alone[i]*complex(times, 0), 1e-9)
		}
	}
	written := impedance(t, cabinet("{wiring: {parallel: [{series: [twelve, twelve]}, {series: [twelve, twelve]}]}, enclosure: free_air}"), "k", 30, 80, 1000)
	for i := range written {
		near(t, "written out", written[i], alone[i], 1e-9)
	}
}
