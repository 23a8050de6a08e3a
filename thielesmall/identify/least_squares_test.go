package identify

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"loadscape/network/measured"
)

// The minimum is that which scipy.optimize.least_squares finds for the same
// cost on the same curves: testdata/least_squares.py, run by hand, makes both
// with its own formulas.
func TestLeastSquares(t *testing.T) {
	var file struct {
		MadeBy string `json:"made_by"`
		Cases  []struct {
			Name                  string
			VoiceCoil             string `json:"voice_coil"`
			Rungs                 int
			Resonances            int
			Creep                 bool
			Bumps                 int
			Cost, Re              float64
			Hz                    []float64
			Resistance, Reactance []float64
		}
	}
	text, err := os.ReadFile("testdata/least_squares.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &file); err != nil {
		t.Fatal(err)
	}
	t.Log(file.MadeBy)
	for _, c := range file.Cases {
		table := &measured.Table{Hz: c.Hz}
		for i := range c.Hz {
			table.Z = append(table.Z, complex(c.Resistance[i], c.Reactance[i]))
		}
		o := Options{VoiceCoil: c.VoiceCoil, Rungs: c.Rungs, Resonances: c.Resonances, Creep: Never, Bumps: -1}
		if c.Creep {
			o.Creep = Always
		}
		if c.Bumps > 0 {
			o.Bumps = c.Bumps
		}
		r := identify(t, table, o)
		off := r.Cost/c.Cost - 1
		t.Logf("%-16s cost %.9f here, %.9f there, %+.1e; Re %.7f and %.7f ohm", c.Name, r.Cost, c.Cost, off, r.Re.Value, c.Re)
		if !(math.Abs(off) < 1e-6) || !(math.Abs(r.Re.Value/c.Re-1) < 1e-6) {
			t.Errorf("%s: another minimum", c.Name)
			report(t, r)
		}
	}
}
