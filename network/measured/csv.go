package measured

import (
	"encoding/csv"
	"fmt"
	"io"
	"math/cmplx"
	"strconv"
)

// WriteCSV writes tables as CSV (RFC 4180), one observation a row. A column
// coherence is added if all of them have one.
func WriteCSV(w io.Writer, tables ...*Table) error {
	header := []string{"name", "frequency_hz", "magnitude_ohm", "phase_deg", "resistance_ohm", "reactance_ohm"}
	coherent := true
	for _, t := range tables {
		if err := t.Check(); err != nil {
			return err
		}
		coherent = coherent && t.Coherence != nil
	}
	if coherent {
		header = append(header, "coherence")
	}
	out := csv.NewWriter(w)
	out.Write(header)
	for _, t := range tables {
		for i, hz := range t.Hz {
			z := t.Z[i]
			record := []string{t.Name, number(hz), number(cmplx.Abs(z)), number(cmplx.Phase(z) / degree), number(real(z)), number(imag(z))}
			if coherent {
				record = append(record, number(t.Coherence[i]))
			}
			out.Write(record)
		}
	}
	out.Flush()
	if err := out.Error(); err != nil {
		return fmt.Errorf("measured: %w", err)
	}
	return nil
}

// number returns v in the fewest digits that read back as v.
func number(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
