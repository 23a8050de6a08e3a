package bench

import "testing"

func TestDriverMistakes(t *testing.T) {
	check(t, []mistake{
		{"units", "drivers:\n  a: {re: ‹6.5, fs: ‹78 mH, qms: ‹8 %, qes: ‹0.9 ohm, vas: ‹51 cm2, sd: ‹522 cm, xmax: ‹0.9 MM, rated_power: ‹30}\n",
			`drivers.a.re: found "6.5", a number without a unit; expected a resistance such as 8 ohm, 4.7k or 4R7` + "\n" +
				`drivers.a.fs: found "78 mH", an inductance; expected a frequency such as 82 Hz or 2.5 kHz` + "\n" +
				`drivers.a.qms: found "8 %", a ratio; expected a plain number such as 0.66` + "\n" +
				`drivers.a.qes: found "0.9 ohm", a resistance; expected a plain number such as 0.66` + "\n" +
				`drivers.a.vas: found "51 cm2", an area; expected a volume such as 68 L` + "\n" +
				`drivers.a.sd: found "522 cm", a length; expected an area such as 522 cm2 or 1.5 mm2` + "\n" +
				`drivers.a.xmax: found "0.9 MM" with the unknown unit "MM"; expected a length such as 15 mm or 6 m (did you mean "mm"?)` + "\n" +
				`drivers.a.rated_power: found "30", a number without a unit; expected a power such as 40 W`},
		{"missing", "drivers:\n  a: ‹‹‹‹{}\n",
			"drivers.a.fs: found nothing; expected a frequency such as 82 Hz or 2.5 kHz\n" +
				"drivers.a.qes: found nothing; expected a plain number such as 0.66\n" +
				"drivers.a.qms: found nothing; expected a plain number such as 0.66\n" +
				"drivers.a.re: found nothing; expected a resistance such as 8 ohm, 4.7k or 4R7"},
		{"a misspelt key is not missing as well", "drivers:\n  a: {re: 6 ohm, fs: 80 Hz, qms: 8, ‹qess: 1}\n",
			`drivers.a.qess: found the unknown key "qess"; expected ` + driverKeys + ` (did you mean "qes"?)`},
		{"negative, zero, not finite", "drivers:\n  a: {re: ‹-6 ohm, fs: ‹inf Hz, qms: ‹0, qes: ‹nan, vas: ‹0 L, sd: ‹-1 cm2, xmax: ‹1e400 m}\n",
			`drivers.a.re: found "-6 ohm"; expected a resistance above zero` + "\n" +
				`drivers.a.fs: found "inf Hz", which does not begin with a number; expected a frequency such as 82 Hz or 2.5 kHz` + "\n" +
				`drivers.a.qms: found "0"; expected a plain number above zero` + "\n" +
				`drivers.a.qes: found "nan", which does not begin with a number; expected a plain number such as 0.66` + "\n" +
				`drivers.a.vas: found "0 L"; expected a volume above zero` + "\n" +
				`drivers.a.sd: found "-1 cm2"; expected an area above zero` + "\n" +
				`drivers.a.xmax: found "1e400 m", too large or too small for a number; expected a length such as 15 mm or 6 m`},
		{"not a mapping", "drivers:\n  a: ‹5\n", `drivers.a: found "5"; expected a mapping such as {key: value}`},
		{"nothing", "drivers:\n  ‹a:\n", "drivers.a: found nothing; expected a mapping such as {key: value}"},
		{"name", "drivers:\n  ‹a/b: {re: 6 ohm, fs: 80 Hz, qms: 8, qes: 1}\n",
			`drivers.a/b: found the name "a/b"; expected a name without slashes and line breaks of at most 60 bytes`},
		{"temperature", "drivers:\n  a: {re: 6 ohm, fs: 80 Hz, qms: 8, qes: 1, coil_temperature: ‹401 C}\n",
			`drivers.a.coil_temperature: found "401 C"; expected a temperature from -60 C to 400 C`},
		{"data sheet", "drivers:\n  a: {re: 6 ohm, fs: 80 Hz, qms: 8, qes: 1, mms: ‹30 N, cms: ‹1 m, rms: ‹1 ohm, bl: ‹12, sensitivity: ‹97 W}\n",
			`drivers.a.mms: found "30 N" with the unknown unit "N"; expected a mass such as 38 g` + "\n" +
				`drivers.a.cms: found "1 m", a length; expected a compliance such as 0.12 mm/N` + "\n" +
				`drivers.a.rms: found "1 ohm", a resistance; expected a mechanical resistance such as 2.1 N s/m or 2.1 kg/s` + "\n" +
				`drivers.a.bl: found "12", a number without a unit; expected a force factor such as 12.5 T m or 12.5 N/A` + "\n" +
				`drivers.a.sensitivity: found "97 W", a power; expected a level such as 12 dB`},
	})
}

const driverKeys = "re, fs, qms, qes, vas, sd, xmax, rated_power, rated_impedance, mms, cms, rms, bl, qts, sensitivity, voice_coil, suspension or coil_temperature"

// coil returns a driver with the given voice coil, suspension or both.
func coil(rest string) string {
	return "drivers:\n  a: {re: 6 ohm, fs: 80 Hz, qms: 8, qes: 1, " + rest + "}\n"
}

func TestVoiceCoilAndSuspensionMistakes(t *testing.T) {
	const models = "inductance, ladder, power_law, split_power_law or semi_inductance"
	check(t, []mistake{
		{"two models", coil("voice_coil: ‹{inductance: 1 mH, power_law: {k: 1, n: 0.7}}"),
			"drivers.a.voice_coil: found inductance and power_law; expected only one of them"},
		{"no model", coil("voice_coil: ‹{}"), "drivers.a.voice_coil: found an empty mapping; expected one of the keys " + models},
		{"unknown model", coil("voice_coil: {‹semi_inductence: {ke: 1}}"),
			`drivers.a.voice_coil.semi_inductence: found the unknown key "semi_inductence"; expected ` + models + ` (did you mean "semi_inductance"?)`},
		{"a word", coil("voice_coil: ‹inductance"),
			"drivers.a.voice_coil: found the word inductance alone; expected {inductance: ...} with its values"},
		{"inductance", coil("voice_coil: {inductance: ‹1 mF}"),
			`drivers.a.voice_coil.inductance: found "1 mF", a capacitance; expected an inductance such as 0.6 mH`},
		{"empty ladder", coil("voice_coil: {ladder: {l1: 1 mH, rungs: ‹[]}}"),
			"drivers.a.voice_coil.ladder.rungs: found an empty list; expected a list such as [a, b]"},
		{"half a rung", coil("voice_coil: {ladder: {rungs: [{l: 1 mH, r: 2 ohm}, ‹{l: 1 mH}]}}"),
			"drivers.a.voice_coil.ladder.rungs[1].r: found nothing; expected a resistance such as 8 ohm, 4.7k or 4R7"},
		{"power law", coil("voice_coil: {power_law: {k: ‹-1, n: ‹0.4}}"),
			`drivers.a.voice_coil.power_law.k: found "-1"; expected a plain number above zero` + "\n" +
				`drivers.a.voice_coil.power_law.n: found "0.4"; expected a plain number from 0.5 to 1`},
		{"split power law", coil("voice_coil: {split_power_law: {kr: ‹-1, xr: ‹3, ki: ‹0, xi: 1, ‹xj: 1}}"),
			`drivers.a.voice_coil.split_power_law.kr: found "-1"; expected a plain number of at least zero` + "\n" +
				`drivers.a.voice_coil.split_power_law.xr: found "3"; expected a plain number from zero to 2` + "\n" +
				`drivers.a.voice_coil.split_power_law.ki: found "0"; expected a plain number above zero` + "\n" +
				`drivers.a.voice_coil.split_power_law.xj: found the unknown key "xj"; expected kr, xr, ki or xi`},
		{"semi-inductance", coil("voice_coil: {semi_inductance: ‹{leb: 1 mH, le: ‹0 mH}}"),
			"drivers.a.voice_coil.semi_inductance.ke: found nothing; expected a plain number such as 0.66\n" +
				`drivers.a.voice_coil.semi_inductance.le: found "0 mH"; expected an inductance above zero`},
		{"creep", coil("suspension: {creep: ‹0.6}"), `drivers.a.suspension.creep: found "0.6"; expected a plain number from zero to 0.5`},
		{"creep alone", coil("suspension: ‹creep"), "drivers.a.suspension: found the word creep alone; expected {creep: ...} with its values"},
		{"unknown suspension", coil("suspension: ‹viscose"),
			`drivers.a.suspension: found "viscose"; expected viscous or {creep: ...} (did you mean "viscous"?)`},
		{"viscous with a value", coil("suspension: {viscous: ‹3}"), `drivers.a.suspension.viscous: found "3"; expected no value: viscous has none`},
	})
}
