package bench

import (
	"loadscape/cmd/loadscape/internal/document"
	"loadscape/cmd/loadscape/internal/quantity"
	"loadscape/network"
	"loadscape/thielesmall"
)

// laidByDriver is about how many parts a driver is laid as.
const laidByDriver = 8

// driver decodes an entry of drivers.
func (d *decoder) driver(e document.Entry) network.Named {
	f := e.Value.Fields()
	driver := thielesmall.Driver{
		Name:           e.Name,
		Re:             f.Required("re").Quantity(quantity.Resistance, quantity.Positive),
		Fs:             f.Required("fs").Quantity(quantity.Frequency, quantity.Positive),
		Qms:            f.Required("qms").Quantity(quantity.Number, quantity.Positive),
		Qes:            f.Required("qes").Quantity(quantity.Number, quantity.Positive),
		Vas:            f.Optional("vas").Quantity(quantity.Volume, quantity.Positive),
		Sd:             f.Optional("sd").Quantity(quantity.Area, quantity.Positive),
		Xmax:           f.Optional("xmax").Quantity(quantity.Length, quantity.Positive),
		RatedPower:     f.Optional("rated_power").Quantity(quantity.Power, quantity.Positive),
		RatedImpedance: f.Optional("rated_impedance").Quantity(quantity.Resistance, quantity.Positive),
		Sheet:          sheet(f),
	}
	if v := f.Optional("voice_coil"); v.Exists() {
		driver.VoiceCoil, _ = document.Pick(v, voiceCoilKinds...)
	}
	if v := f.Optional("suspension"); v.Exists() {
		driver.Suspension, _ = document.Pick(v, suspensionKinds...)
	}
	if v := f.Optional("coil_temperature"); v.Exists() {
		driver.CoilTemperature = thielesmall.Celsius(v.Quantity(quantity.Temperature, quantity.Between(-60, 400)))
	}
	d.parts += laidByDriver
	d.drivers[e.Name] = driver
	if driver.Re == 0 || driver.Fs == 0 || driver.Qms == 0 || driver.Qes == 0 ||
		wrong(f.Optional("vas"), driver.Vas) || wrong(f.Optional("sd"), driver.Sd) {
		return network.Named{} // reported above
	}
	if err := driver.Validate(); err != nil {
		reject(e.Value, err)
		return network.Named{}
	}
	for _, w := range driver.Check() {
		d.bench.Warnings = append(d.bench.Warnings, w.String())
	}
	return network.Named{RatedImpedance: driver.RatedImpedance, OnePort: driver}
}

// sheet decodes what a data sheet states beyond what is needed.
func sheet(f *document.Fields) thielesmall.Sheet {
	return thielesmall.Sheet{
		Mms:         f.Optional("mms").Quantity(quantity.Mass, quantity.Positive),
		Cms:         f.Optional("cms").Quantity(quantity.Compliance, quantity.Positive),
		Rms:         f.Optional("rms").Quantity(quantity.MechanicalResistance, quantity.Positive),
		Bl:          f.Optional("bl").Quantity(quantity.ForceFactor, quantity.Positive),
		Qts:         f.Optional("qts").Quantity(quantity.Number, quantity.Positive),
		Sensitivity: f.Optional("sensitivity").Quantity(quantity.Level, quantity.Positive),
	}
}

// voiceCoilKinds are the models that voice_coil may hold.
var voiceCoilKinds = []document.Kind[thielesmall.VoiceCoil]{
	{Key: "inductance", Decode: func(v document.Value, _ *document.Fields) thielesmall.VoiceCoil {
		l := thielesmall.Inductance{Le: v.Quantity(quantity.Inductance, quantity.Positive)}
		return whole[thielesmall.VoiceCoil](l, l.Le)
	}},
	{Key: "ladder", Decode: ladder},
	{Key: "power_law", Decode: func(v document.Value, _ *document.Fields) thielesmall.VoiceCoil {
		f := v.Fields()
		p := thielesmall.PowerLaw{
			K: f.Required("k").Quantity(quantity.Number, quantity.Positive),
			N: f.Required("n").Quantity(quantity.Number, quantity.Between(0.5, 1)),
		}
		return whole[thielesmall.VoiceCoil](p, p.K, p.N)
	}},
	{Key: "split_power_law", Decode: func(v document.Value, _ *document.Fields) thielesmall.VoiceCoil {
		f := v.Fields()
		p := thielesmall.SplitPowerLaw{
			Kr: f.Required("kr").Quantity(quantity.Number, quantity.NonNegative),
			Xr: f.Required("xr").Quantity(quantity.Number, quantity.Between(0, 2)),
			Ki: f.Required("ki").Quantity(quantity.Number, quantity.Positive),
			Xi: f.Required("xi").Quantity(quantity.Number, quantity.Between(0, 2)),
		}
		return whole[thielesmall.VoiceCoil](p, p.Ki)
	}},
	{Key: "semi_inductance", Decode: func(v document.Value, _ *document.Fields) thielesmall.VoiceCoil {
		f := v.Fields()
		s := thielesmall.SemiInductance{
			Leb: f.Optional("leb").Quantity(quantity.Inductance, quantity.NonNegative),
			Le:  f.Optional("le").Quantity(quantity.Inductance, quantity.Positive),
			Ke:  f.Required("ke").Quantity(quantity.Number, quantity.Positive),
			Rss: f.Optional("rss").Quantity(quantity.Resistance, quantity.Positive),
		}
		return whole[thielesmall.VoiceCoil](s, s.Ke)
	}},
}

func ladder(v document.Value, _ *document.Fields) thielesmall.VoiceCoil {
	f := v.Fields()
	l := thielesmall.Ladder{L1: f.Optional("l1").Quantity(quantity.Inductance, quantity.NonNegative)}
	needs := []float64{}
	for _, v := range f.Required("rungs").List() {
		r := v.Fields()
		rung := thielesmall.Rung{
			L: r.Required("l").Quantity(quantity.Inductance, quantity.Positive),
			R: r.Required("r").Quantity(quantity.Resistance, quantity.Positive),
		}
		l.Rungs = append(l.Rungs, rung)
		needs = append(needs, rung.L, rung.R)
	}
	return whole[thielesmall.VoiceCoil](l, append(needs, float64(len(l.Rungs)))...)
}

// suspensionKinds are the models that suspension may hold.
var suspensionKinds = []document.Kind[thielesmall.Suspension]{
	{Key: "viscous", Alone: true, Decode: func(document.Value, *document.Fields) thielesmall.Suspension {
		return thielesmall.Viscous{}
	}},
	{Key: "creep", Decode: func(v document.Value, _ *document.Fields) thielesmall.Suspension {
		return thielesmall.Creep{Lambda: v.Quantity(quantity.Number, quantity.Between(0, 0.5))}
	}},
}
