package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"loadscape/cmd/loadscape/internal/quantity"
	"loadscape/network/hearing"
	"loadscape/plot"
)

const (
	figureBoost    = "boost"
	figureContours = "contours"
)

// hearingCaution is repeated with every answer about loudness.
const hearingCaution = `Loud sound harms hearing: at 85 dB(A) eight hours a day are the most that NIOSH (1998)
recommends, and half as long for every 3 dB more. Measure where you stand, and wear protection.`

// loudnessScope says what the contours hold for.
const loudnessScope = `ISO 226:2023 describes pure tones in a free field and young, healthy ears; for music it
shows which way the balance shifts and about how far.`

// turned is the sound turned from one loudness level to another.
type turned struct {
	from, to float64 // phon
	points   []contourPoint
}

// contourPoint is two contours of equal loudness at one frequency.
type contourPoint struct{ hz, from, to, boost float64 } // levels in dB

func newLoudness() *cobra.Command {
	var a answer
	cmd := &cobra.Command{
		Use:   "loudness FROM TO...",
		Short: "What the ear asks for when the level is turned down",
		Long: `loudness shows the contours of equal loudness of ISO 226:2023 at the loudness level
FROM and at each level TO, and the boost that the ear asks for, relative to 1 kHz,
when the sound is turned from the one to the other. A loudness level in phon is the
sound pressure level in dB of a tone of 1 kHz that is equally loud.

The standard covers 20 phon to 90 phon from 20 Hz to 4 kHz, and up to 80 phon above
that to 12.5 kHz.`,
		Example: `  loadscape loudness "80 phon" "60 phon"
  loadscape loudness 85 75 65 55 --figure boost.svg`,
		Args: cobra.MinimumNArgs(2),
	}
	a.bindForm(cmd, figureBoost, figureContours)
	cmd.RunE = func(cmd *cobra.Command, args []string) error { return runLoudness(cmd, &a, args) }
	return cmd
}

func runLoudness(cmd *cobra.Command, a *answer, args []string) error {
	if err := a.check(); err != nil {
		return err
	}
	all, notes, err := turnAll(args)
	if err != nil {
		return err
	}
	if a.format == formatCSV { // which has no room for them
		for _, n := range notes {
			fmt.Fprintln(cmd.ErrOrStderr(), "note:", n)
		}
	}
	return a.give(cmd, map[string]func(io.Writer) error{
		formatTable: func(w io.Writer) error { return writeLoudnessTable(w, all, notes) },
		formatCSV:   func(w io.Writer) error { return writeLoudnessCSV(w, all) },
		formatJSON:  func(w io.Writer) error { return writeLoudnessJSON(w, all, notes) },
	}, func() (*plot.Figure, error) { return drawLoudness(a.figureType, all, notes), nil })
}

// turnAll turns the first of the levels to each of the others.
func turnAll(texts []string) (all []turned, notes []string, err error) {
	var phon []float64
	for _, text := range texts {
		n, err := phons(text)
		if err != nil {
			return nil, nil, err
		}
		phon = append(phon, n)
	}
	for _, to := range phon[1:] {
		t, note, err := turn(phon[0], to)
		if err != nil {
			return nil, nil, err
		}
		if all = append(all, t); note != "" && !slices.Contains(notes, note) {
			notes = append(notes, note)
		}
	}
	return all, notes, nil
}

// phons reads a loudness level; a bare number is in phon.
func phons(text string) (float64, error) {
	if n, err := strconv.ParseFloat(text, 64); err == nil {
		text = strconv.FormatFloat(n, 'g', -1, 64) + " phon"
	}
	return quantity.Parse(text, quantity.LoudnessLevel)
}

// turn returns the contours at the frequencies of the standard where it covers
// both levels. The note says where it does not.
func turn(from, to float64) (t turned, note string, err error) {
	t = turned{from: from, to: to}
	var left []float64
	for _, hz := range hearing.ContourFrequencies() {
		boost, err := hearing.Boost(from, to, hz)
		var beyond *hearing.RangeError
		if errors.As(err, &beyond) && len(t.points) > 0 {
			note = fmt.Sprintf("ISO 226:2023 covers no more than %g phon above 4 kHz", beyond.High)
			left = append(left, hz)
			continue
		}
		if err != nil {
			return turned{}, "", err
		}
		fromDB, err := hearing.PressureLevel(hz, from)
		if err != nil {
			return turned{}, "", err
		}
		t.points = append(t.points, contourPoint{hz, fromDB, fromDB + to - from + boost, boost})
	}
	if len(left) > 0 {
		note = fmt.Sprintf("%s: %g phon is left out from %s to %s", note, max(from, to), hertzText(left[0]), hertzText(left[len(left)-1]))
	}
	return t, note, nil
}

func phonText(n float64) string { return fmt.Sprintf("%g phon", n) }

// levels returns the loudness levels that are asked for, FROM first.
func levels(all []turned) []string {
	names := []string{phonText(all[0].from)}
	for _, t := range all {
		names = append(names, phonText(t.to))
	}
	return names
}

func drawLoudness(kind string, all []turned, notes []string) *plot.Figure {
	var f *plot.Figure
	if kind == figureContours {
		y := plot.Axis{Label: "Sound pressure level", Unit: "dB re 20 µPa"}
		f = plot.Steps("Equal loudness (ISO 226:2023)", y, contours(all), plot.Interval{})
	} else {
		var boosts []plot.Trace
		for _, t := range all {
			boosts = append(boosts, t.trace("to "+phonText(t.to), func(p contourPoint) float64 { return p.boost }))
		}
		f = plot.Loudness("What the ear asks for, turned from "+phonText(all[0].from), boosts, nil, plot.Interval{})
	}
	f.Notes = append(f.Notes, notes...)
	return f
}

// contours returns the contours of all levels, FROM first.
func contours(all []turned) []plot.Trace {
	names := levels(all)
	traces := []plot.Trace{longest(all).trace(names[0], func(p contourPoint) float64 { return p.from })}
	for i, t := range all {
		traces = append(traces, t.trace(names[i+1], func(p contourPoint) float64 { return p.to }))
	}
	return traces
}

func (t turned) trace(name string, value func(contourPoint) float64) plot.Trace {
	trace := plot.Trace{Name: name}
	for _, p := range t.points {
		trace.Hz, trace.Y = append(trace.Hz, p.hz), append(trace.Y, value(p))
	}
	return trace
}

// longest returns the one that reaches furthest up.
func longest(all []turned) turned {
	return slices.MaxFunc(all, func(a, b turned) int { return len(a.points) - len(b.points) })
}

func writeLoudnessCSV(w io.Writer, all []turned) error {
	t := newCSV(w, "from_phon", "to_phon", "frequency_hz", "from_db", "to_db", "boost_db")
	for _, x := range all {
		for _, p := range x.points {
			t.row(number(x.from), x.to, p.hz, p.from, p.to, p.boost)
		}
	}
	return t.end()
}

func writeLoudnessJSON(w io.Writer, all []turned, notes []string) error {
	type point struct {
		Hz    float64 `json:"frequency_hz"`
		From  float64 `json:"from_db"`
		To    float64 `json:"to_db"`
		Boost float64 `json:"boost_db"`
	}
	type level struct {
		To     float64 `json:"to_phon"`
		Points []point `json:"points"`
	}
	answer := struct {
		Source   string   `json:"source"`
		From     float64  `json:"from_phon"`
		To       []level  `json:"to"`
		Notes    []string `json:"notes"`
		Cautions string   `json:"cautions"`
	}{"ISO 226:2023", all[0].from, []level{}, append([]string{}, notes...), hearingCaution}
	for _, t := range all {
		l := level{To: t.to}
		for _, p := range t.points {
			l.Points = append(l.Points, point{p.hz, p.from, p.to, p.boost})
		}
		answer.To = append(answer.To, l)
	}
	return writeJSON(w, answer)
}

func writeLoudnessTable(w io.Writer, all []turned, notes []string) error {
	t := newTable(w)
	names := levels(all)
	t.title(fmt.Sprintf("Equal loudness from %s to %s (ISO 226:2023)", names[0], strings.Join(names[1:], ", ")))
	t.say("Sound pressure levels in dB; boost: what the ear asks for relative to 1 kHz, in dB\n")
	head := []string{"Hz", names[0]}
	for i := range all {
		head = append(head, names[i+1], "boost")
	}
	t.row(head...)
	for i, p := range longest(all).points {
		row := []string{fmt.Sprintf("%g", p.hz), fmt.Sprintf("%.1f", p.from)}
		for _, x := range all {
			if i >= len(x.points) {
				row = append(row, "-", "-")
				continue
			}
			row = append(row, fmt.Sprintf("%.1f", x.points[i].to), strings.TrimSuffix(signed(x.points[i].boost), " dB"))
		}
		t.row(row...)
	}
	t.end()
	t.say("")
	for _, n := range notes {
		t.say("%s.", n)
	}
	t.say("%s\n%s", loudnessScope, hearingCaution)
	return t.end()
}
