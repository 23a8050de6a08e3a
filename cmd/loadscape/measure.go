package main

import (
	"cmp"
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"

	"loadscape/cmd/loadscape/internal/quantity"
	"loadscape/network/measured"
	"loadscape/network/transfer"
)

// measuring is what the flags of measure say.
type measuring struct {
	tableAnswer
	resistor  string
	sense     string
	device    int
	swapped   string
	known     string
	knownOhms string
	method    string
	from, to  string
	segment   string
	gate      string
	jig       transfer.Jig
}

// measureCautions stand in the help and below every answer that is read.
const measureCautions = `Measure the cabinet or load alone, with no amplifier connected to it, from a headphone output at low
level. A line or microphone input must never meet the speaker terminals of an amplifier: valve
amplifiers hold lethal voltages, also after they are switched off and unplugged, and bridged outputs
have no terminal that may be grounded. Begin at the lowest level: loud sweeps harm drivers and hearing.
The makers' ratings, local codes and a qualified technician come before this program.`

func newMeasure() *cobra.Command {
	var m measuring
	cmd := &cobra.Command{
		Use:   "measure WAV",
		Short: "Impedance from a recording of two channels",
		Long: `measure computes an impedance from a WAV file of two channels. The device is fed
through a series resistor of known value. One channel records the voltage across the
device, the other the voltage across the resistor or, with --sense before, the voltage
in front of the resistor. Both are recorded at once, of a sweep with silence on either
side or, with --method noise, of steady noise.

Differences between the channels are corrected with a second recording of the same
device in which the two channels are exchanged (--swapped), or with one of a known
resistor in the place of the device (--known, --known-ohms), or both.

The coherence at each frequency tells how much of what was recorded is explained by
the device: where it is poor there is noise, distortion or too little signal.

` + measureCautions,
		Example: "  loadscape measure sweep.wav --resistor \"10 ohm\" -o cabinet.csv --figure cabinet.svg",
		Args:    cobra.ExactArgs(1),
	}
	m.bind(cmd)
	cmd.RunE = func(cmd *cobra.Command, args []string) error { return runMeasure(cmd, &m, args[0]) }
	return cmd
}

func (m *measuring) bind(cmd *cobra.Command) {
	m.tableAnswer.bind(cmd)
	f := cmd.Flags()
	f.StringVar(&m.resistor, "resistor", "", "the series `RESISTANCE`, as \"10 ohm\" (required)")
	f.StringVar(&m.sense, "sense", "across", "`WHERE` the other channel is: across the resistor, or before it")
	f.IntVar(&m.device, "device-channel", 1, "the `CHANNEL` across the device: 1 or 2")
	f.StringVar(&m.swapped, "swapped", "", "recording of the same device with the channels exchanged, a WAV `FILE`")
	f.StringVar(&m.known, "known", "", "recording of a known resistor in place of the device, a WAV `FILE`")
	f.StringVar(&m.knownOhms, "known-ohms", "", "`RESISTANCE` of the known resistor, as \"8.2 ohm\"")
	f.StringVar(&m.method, "method", "sweep", "`SIGNAL` that was recorded: sweep (deconvolved) or noise (averaged cross spectra)")
	f.StringVar(&m.from, "from", "", "lowest `FREQUENCY` of the table (default 20 Hz)")
	f.StringVar(&m.to, "to", "", "highest `FREQUENCY` of the table (default 20 kHz, or 0.45 of the sampling rate)")
	f.IntVar(&m.jig.PerOctave, "per-octave", 0, "`POINTS` per octave, up to 1000 (default 48)")
	f.Float64Var(&m.jig.Bandwidth, "bandwidth", 0, "half width in `OCTAVES` over which a point is smoothed (default a step between points)")
	f.StringVar(&m.segment, "segment", "", "`LENGTH` of the segments that are averaged of noise, as \"2 s\" (default two thirds of the recording)")
	f.StringVar(&m.gate, "gate", "", "`LENGTH` of the response to a sweep that is kept, as \"500 ms\" (default 1 s)")
	f.Float64Var(&m.jig.PoorCoherence, "poor-coherence", 0, "`COHERENCE` below which a warning is given (default 0.95)")
}

func runMeasure(cmd *cobra.Command, m *measuring, file string) error {
	if err := m.check(); err != nil {
		return err
	}
	rec, err := readRecording(cmd.InOrStdin(), file)
	if err != nil {
		return err
	}
	if err := m.calibration(); err != nil {
		return err
	}
	t, err := m.jig.Measure(rec)
	if err != nil {
		return fmt.Errorf("%s: %w", file, err)
	}
	t.Name = stem(file)
	return m.give(cmd, t, func(w io.Writer) error { return m.write(w, t) })
}

// check reads the flags, before any file is read.
func (m *measuring) check() (err error) {
	if err := m.tableAnswer.check(); err != nil {
		return err
	}
	err = cmp.Or(
		choose("--sense", m.sense, &m.jig.Sense, choice[transfer.Sense]{"across", transfer.AcrossResistor}, choice[transfer.Sense]{"before", transfer.BeforeResistor}),
		choose("--method", m.method, &m.jig.Method, choice[transfer.Method]{"sweep", transfer.Deconvolution}, choice[transfer.Method]{"noise", transfer.CrossSpectra}))
	if err != nil {
		return err
	}
	switch {
	case m.resistor == "":
		return fmt.Errorf("--resistor is missing: expected the series resistance, as --resistor \"10 ohm\"")
	case m.device != 1 && m.device != 2:
		return fmt.Errorf("--device-channel %d: expected 1 or 2", m.device)
	case (m.known == "") != (m.knownOhms == ""):
		return fmt.Errorf("--known and --known-ohms: expected both, the recording of a resistor and its value, or neither")
	}
	m.jig.Device = m.device - 1
	return cmp.Or(
		setQuantity("--resistor", m.resistor, quantity.Resistance, &m.jig.Resistor),
		setQuantity("--segment", m.segment, quantity.Time, &m.jig.Segment),
		setQuantity("--gate", m.gate, quantity.Time, &m.jig.Gate),
		setQuantity("--known-ohms", m.knownOhms, quantity.Resistance, &m.jig.KnownOhms),
		setFrequency("--from", m.from, &m.jig.From),
		setFrequency("--to", m.to, &m.jig.To))
}

// calibration reads the recordings by which the channels are corrected.
func (m *measuring) calibration() (err error) {
	for _, c := range []struct {
		file string
		rec  **transfer.Recording
	}{{m.swapped, &m.jig.Swapped}, {m.known, &m.jig.Known}} {
		if c.file == "" {
			continue
		}
		if *c.rec, err = readRecording(nil, c.file); err != nil {
			return err
		}
	}
	return nil
}

// readRecording reads a WAV file; "-" is standard input, if there is one.
func readRecording(stdin io.Reader, file string) (*transfer.Recording, error) {
	in := stdin
	if file != "-" || stdin == nil {
		f, err := os.Open(file)
		if err != nil {
			return nil, err
		}
		defer f.Close()
		in = f
	}
	rec, err := transfer.ReadWAV(in)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	return rec, nil
}

func (m *measuring) write(w io.Writer, t *measured.Table) error {
	out := writeTable(w, t)
	out.say("\n%s", m.how())
	out.say("\n%s", measureCautions)
	return out.end()
}

// how says how the impedance was found.
func (m *measuring) how() string {
	s := fmt.Sprintf("Series resistor %s, channel %d across the device, channel %d ", quantity.Format(m.jig.Resistor, quantity.Resistance, 5), m.device, 3-m.device)
	s += map[transfer.Sense]string{transfer.AcrossResistor: "across the resistor", transfer.BeforeResistor: "before the resistor"}[m.jig.Sense]
	s += map[transfer.Method]string{transfer.Deconvolution: "; a sweep, deconvolved.", transfer.CrossSpectra: "; noise, cross spectra averaged."}[m.jig.Method]
	switch {
	case m.swapped != "" && m.known != "":
		s += "\nChannels corrected with the exchanged recording, the resistor measured against the known one."
	case m.swapped != "":
		s += "\nChannels corrected with the exchanged recording."
	case m.known != "":
		s += "\nChannels corrected with the known resistor."
	default:
		s += "\nChannels taken as equal: --swapped or --known corrects differences between them."
	}
	return s
}
