package main

import (
	"fmt"
	"io"
	"strings"

	"loadscape/cmd/loadscape/internal/quantity"
	"loadscape/network/design"
	"loadscape/network/safety"
)

func writeDesigned(w io.Writer, r *designed) error {
	t := newTable(w)
	t.title(r.title)
	e := r.Design.Error
	t.paragraph("", fmt.Sprintf("A load like %s, for %s. It is rated %.3g ohm.", r.curves[0].name, r.amplifier, r.rated))
	t.paragraph("", fmt.Sprintf("Number of parts: %d (%s). From %s to %s it is off by %s of impedance (RMS; %s at most, at %s) and by %.2f dB of tone (RMS; %s at most%s).",
		r.Design.Topology.Parts(), r.Design.Topology, hertzText(r.band.From), hertzText(r.band.To),
		share(e.Impedance), share(e.Largest), hertzText(e.LargestHz), e.Tone, signed(e.LargestTone), where(e.LargestToneHz)))
	writeFrontTable(t, r)
	writePartsTable(t, r)
	writeCoilsTable(t, r)
	t.say("\nHeat in all: %s by the worst sine at rated power, %s overdriven, %s by pink noise.", watts(r.Heat.Rated), watts(r.Heat.Overdriven), watts(r.Heat.Noise))
	t.paragraph("", "That heat must leave the case: mount resistors on metal or in moving air, and keep coils and capacitors away from them.")
	for _, k := range rules(r) {
		t.paragraph("  - ", k)
	}
	for _, warning := range r.Warnings {
		t.paragraph("note: ", warning)
	}
	t.say("\nFor a bench file:")
	var fragment strings.Builder
	if err := writeDesignedBench(&fragment, r); err != nil {
		return err
	}
	t.print(fragment.String())
	t.say("\n%s", safety.Cautions)
	return t.end()
}

// share returns a ratio in per cent, without a power of ten where it is large.
func share(x float64) string {
	if x >= 0.095 {
		return fmt.Sprintf("%.0f %%", 100*x)
	}
	return percent(x)
}

// where returns at which frequency something was found, if it was.
func where(hz float64) string {
	if hz == 0 {
		return ""
	}
	return ", at " + hertzText(hz)
}

// writeFrontTable tells what each part brings.
func writeFrontTable(t *table, r *designed) {
	t.say("\nWhat each part brings, with any values")
	t.row("parts", "network", "impedance", "tone", "of the limits", "better by")
	for i, d := range r.Front {
		better := ""
		if i > 0 {
			better = fmt.Sprintf("%.0f %%", 100*(1-d.Score/r.Front[i-1].Score))
		}
		if i == r.Chosen {
			better += "  taken"
		}
		t.row(fmt.Sprint(d.Topology.Parts()), d.Topology.String(), share(d.Error.Impedance),
			fmt.Sprintf("%.2f dB", d.Error.Tone), fmt.Sprintf("%.2f", d.Score), better)
	}
	t.end()
	t.say("With preferred values and the coils as wound it comes to %.2f of the limits, with values rounded one by one to %.2f.", r.Design.Score, r.Rounded.Score)
}

// writePartsTable tells what to buy and what it must bear.
func writePartsTable(t *table, r *designed) {
	t.say("\nParts, and the most that a sine from 20 Hz to 20 kHz asks of them")
	t.row("part", "value", "rating", "rated", "overdriven", "pink noise", "current", "voltage")
	for _, p := range r.Parts {
		rated, overdriven, noise := "-", "-", "-" // a capacitor without losses takes no power
		if p.Kind != design.Capacitor {
			rated, noise = watts(p.Rated.Power), watts(p.Noise.Power)
			overdriven = watts(p.Overdriven.Power) + " at " + hertzText(p.Rated.PowerHz)
		}
		t.row(p.Name, valueText(p), ratingText(p), rated, overdriven, noise,
			effective(p.Overdriven.Current, p.Overdriven.PeakCurrent, quantity.Current),
			effective(p.Overdriven.Voltage, p.Overdriven.PeakVoltage, quantity.Voltage))
	}
	t.end()
	t.say("Currents and voltages are those of the overdriven amplifier. Ratings are the least to buy.")
}

// effective returns an RMS value and the peak.
func effective(rms, peak float64, d quantity.Dimension) string {
	return quantity.Format(rms, d, 2) + ", peak " + quantity.Format(peak, d, 2)
}

func writeCoilsTable(t *table, r *designed) {
	found := false
	for _, p := range r.Parts {
		c := p.Coil
		if c == nil {
			continue
		}
		if !found {
			t.say("\nCoils without a core, all of copper wire of %.3g mm, %v", 1e3*c.Wire.Diameter, c.Wire.Enamel)
			t.row("coil", "inductance", "resistance", "turns", "layers", "former", "outside", "wire", "copper")
		}
		found = true
		t.row(p.Name, quantity.Format(c.Inductance, quantity.Inductance, 4), quantity.Format(c.Resistance, quantity.Resistance, 3),
			fmt.Sprintf("%d, %d a layer", c.Turns, c.TurnsPerLayer), fmt.Sprint(c.Layers),
			fmt.Sprintf("%.1f mm across, %.1f mm long", 2e3*c.InnerRadius, 1e3*c.Length),
			fmt.Sprintf("%.1f mm", 2e3*(c.InnerRadius+c.Depth)), fmt.Sprintf("%.1f m", c.WireLength), quantity.Format(c.Mass, quantity.Mass, 3))
	}
	t.end()
	if found {
		t.say("Keep coils three of their radii apart or at right angles: what they induce in each other is left out.")
	}
}

// rules returns the rules behind the ratings, each once.
func rules(r *designed) []string {
	var all []string
	seen := map[design.Kind]bool{}
	for _, p := range r.Parts {
		if !seen[p.Kind] {
			seen[p.Kind] = true
			all = append(all, fmt.Sprintf("rating of every %v: %s", p.Kind, p.Rule))
		}
	}
	return all
}

func valueText(p design.Part) string {
	return quantity.Format(p.Value, dimensionOf(p.Kind), 4)
}

func dimensionOf(k design.Kind) quantity.Dimension {
	return [...]quantity.Dimension{
		design.Resistor: quantity.Resistance, design.Inductor: quantity.Inductance, design.Capacitor: quantity.Capacitance,
	}[k]
}

// ratingOf returns the suggested rating, its dimension and its unit.
func ratingOf(p design.Part) (value float64, d quantity.Dimension, unit string) {
	switch p.Kind {
	case design.Inductor:
		return p.Suggested.Current, quantity.Current, "A"
	case design.Capacitor:
		return p.Suggested.Voltage, quantity.Voltage, "V"
	}
	return p.Suggested.Power, quantity.Power, "W"
}

func ratingText(p design.Part) string {
	v, d, _ := ratingOf(p)
	return quantity.Format(v, d, 4)
}
