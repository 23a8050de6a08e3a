// Package bench reads bench files: what drives, what is driven, how they are
// joined. It turns the YAML of a file into objects of the packages that
// compute, and reports every mistake of a file at once, with its place.
//
// A section of the file is decoded in the file of its name. What a mapping may
// hold is a list of kinds: enclosureKinds, voiceCoilKinds and so on. A new
// kind is one entry in its list.
package bench

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"loadscape/cmd/loadscape/internal/document"
	"loadscape/network"
	"loadscape/network/chain"
	"loadscape/network/hearing"
	"loadscape/network/preferred"
	"loadscape/network/stage"
	"loadscape/network/tone"
)

// Limits of a bench file, beside those of package document.
const (
	MaxSize  = document.MaxSize // bytes
	MaxParts = 2000             // parts of one load, references written out

	MaxPartsInAll = 20_000 // parts of all drivers, cabinets and loads, references written out
	MaxNames      = 1000   // drivers, cabinets and loads
	MaxReferences = 32     // in a chain of loads that name loads
	MaxSetups     = 200    // steps of attenuators written out
)

// A Bench is a bench file.
type Bench struct {
	Title     string
	Sweep     network.Sweep
	Band      hearing.Band
	Setups    []chain.Setup // in the order of the file
	Reference string        // the name of a setup, "" if there is none
	// ListeningLevel is the level in dB at the listener with the reference,
	// of a tone of 1 kHz; 0: not stated.
	ListeningLevel float64
	// Warnings tell what is usable but doubtful: contradictory data sheets,
	// defaults that act, limits of a model.
	Warnings []string

	// Stock is the values of the parts that are at hand, nil where none are
	// listed.
	Stock struct{ Resistors, Inductors, Capacitors preferred.List }

	loads map[string]network.Named

	amplifiers map[string]stage.Stage
	drops      map[string]float64 // dB below the reference at which a setup's re-amp is to run
	families   map[string]string  // the name under which each setup, or step of one, stands in the file
	drivers    []string
	cabinets   []string
	others     []string // loads
}

// Open reads the bench file of the given name. A file that cannot be read is
// an [*fs.PathError], one with mistakes a [*document.Error].
func Open(file string) (*Bench, error) {
	f, err := os.Open(file)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	doc, err := document.Read(file, f)
	if err != nil {
		return nil, err
	}
	return decode(doc, filepath.Dir(file))
}

// Read reads a bench from text, file being the name for messages. Files that
// it names are sought in the working directory.
func Read(file string, data []byte) (*Bench, error) {
	doc, err := document.Parse(file, data)
	if err != nil {
		return nil, err
	}
	return decode(doc, ".")
}

// CurveNames returns the names of every cabinet and load on the bench, or of
// its drivers if there are neither.
func (b *Bench) CurveNames() []string {
	if names := slices.Concat(b.cabinets, b.others); len(names) > 0 {
		return names
	}
	return b.drivers
}

// OnePort returns the driver, cabinet or load of the given name or, for a
// setup, what its first amplifier sees.
func (b *Bench) OnePort(name string) (network.OnePort, error) {
	if p, ok := b.loads[name]; ok {
		return p, nil
	}
	if s, ok := b.setup(name); ok {
		first := s.Links[0]
		return network.Named{Name: name, OnePort: network.Terminated{Through: first.Path(), Load: first.Load}}, nil
	}
	return nil, unknown("nothing", name, slices.Concat(b.drivers, b.cabinets, b.others, b.setupNames()))
}

// Setup returns the setup of the given name.
func (b *Bench) Setup(name string) (chain.Setup, error) {
	if s, ok := b.setup(name); ok {
		return s, nil
	}
	return chain.Setup{}, unknown("no setup", name, b.setupNames())
}

// Amplifier returns the amplifier of the given name or, for a setup, its first
// one and the tap that is used, 0 being the default tap.
func (b *Bench) Amplifier(name string) (s stage.Stage, tap float64, err error) {
	if s, ok := b.amplifiers[name]; ok {
		return s, 0, nil
	}
	if setup, ok := b.setup(name); ok {
		return setup.Links[0].Stage, setup.Links[0].Tap, nil
	}
	known := b.setupNames()
	for name := range b.amplifiers {
		known = append(known, name)
	}
	return s, 0, unknown("no amplifier or setup", name, sorted(known))
}

// SetupsNamed returns the setups of the given names, all if there are none.
func (b *Bench) SetupsNamed(names []string) ([]chain.Setup, error) {
	if len(b.Setups) == 0 {
		return nil, fmt.Errorf("the bench has no setups: expected at least one under setups")
	}
	setups := b.Setups
	if len(names) > 0 {
		setups = nil
	}
	for _, n := range names {
		if steps := b.family(n); len(steps) > 0 {
			setups = append(setups, steps...)
			continue
		}
		s, err := b.Setup(n)
		if err != nil {
			return nil, err
		}
		setups = append(setups, s)
	}
	return b.settled(setups)
}

// family returns the setups that stand under one name in the file: the steps
// of an attenuator.
func (b *Bench) family(name string) []chain.Setup {
	var steps []chain.Setup
	for _, s := range b.Setups {
		if b.families[s.Name] == name {
			steps = append(steps, s)
		}
	}
	return steps
}

// settled returns the setups with the gain of each re-amp that is to run at a
// drop below the reference: levels are K-weighted over the listening band, in
// volts at the load.
func (b *Bench) settled(setups []chain.Setup) ([]chain.Setup, error) {
	out := slices.Clone(setups)
	for i, s := range out {
		drop, ok := b.drops[s.Name]
		if !ok {
			continue
		}
		if s.Name == b.Reference {
			return nil, fmt.Errorf("%s: a drop below the reference in the reference itself: expected gain", s.Name)
		}
		reference, err := b.levelOf(b.Reference)
		if err != nil {
			return nil, fmt.Errorf("%s: drop: %w", s.Name, err)
		}
		now, err := b.levelOf(s.Name)
		if err != nil {
			return nil, fmt.Errorf("%s: drop: %w", s.Name, err)
		}
		s.Links = slices.Clone(s.Links)
		s.Links[len(s.Links)-1].Gain += reference - drop - now
		out[i] = s
	}
	return out, nil
}

// levelOf returns the level in dB at the load of a setup, its re-amp at rated
// drive.
func (b *Bench) levelOf(name string) (float64, error) {
	s, err := b.Setup(name)
	if err != nil {
		return 0, err
	}
	hz, err := b.Sweep.Frequencies()
	if err != nil {
		return 0, err
	}
	r, err := s.Run(hz)
	if err != nil {
		return 0, err
	}
	return tone.Level(hz, r.Last().Terminal, b.Band)
}

// ReferenceSetup returns the setup that others are compared with.
func (b *Bench) ReferenceSetup() (chain.Setup, error) {
	s, err := b.Setup(b.Reference)
	if _, ok := b.drops[s.Name]; ok && err == nil {
		return s, fmt.Errorf("%s: a drop below the reference in the reference itself: expected gain", s.Name)
	}
	return s, err
}

func (b *Bench) setup(name string) (chain.Setup, bool) {
	i := slices.IndexFunc(b.Setups, func(s chain.Setup) bool { return s.Name == name })
	if i < 0 {
		return chain.Setup{}, false
	}
	return b.Setups[i], true
}

func (b *Bench) setupNames() []string {
	var names []string
	for _, s := range b.Setups {
		names = append(names, s.Name)
	}
	return names
}

func unknown(what, name string, known []string) error {
	hint := ""
	if near := document.Nearest(name, known); near != "" {
		hint = fmt.Sprintf(" (did you mean %q?)", near)
	}
	return fmt.Errorf("%s on the bench is called %q: expected one of %s%s", what, name, strings.Join(known, ", "), hint)
}
