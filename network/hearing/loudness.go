package hearing

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/interp"
)

// The parameters of ISO 226:2023, Table 1, at its frequencies in hertz: the
// exponent of loudness perception, the magnitude of the transfer function
// normalized at 1 kHz in dB, and the threshold of hearing in dB.
var (
	contourHz = []float64{
		20, 25, 31.5, 40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 400, 500,
		630, 800, 1000, 1250, 1600, 2000, 2500, 3150, 4000, 5000, 6300, 8000,
		10000, 12500,
	}
	contourExponent = []float64{
		0.635, 0.602, 0.569, 0.537, 0.509, 0.482, 0.456, 0.433, 0.412, 0.391,
		0.373, 0.357, 0.343, 0.33, 0.32, 0.311, 0.303, 0.3, 0.295, 0.292, 0.29,
		0.29, 0.289, 0.289, 0.289, 0.293, 0.303, 0.323, 0.354,
	}
	contourTransfer = []float64{
		-31.5, -27.2, -23.1, -19.3, -16.1, -13.1, -10.4, -8.2, -6.3, -4.6, -3.2,
		-2.1, -1.2, -0.5, 0, 0.4, 0.5, 0, -2.7, -4.2, -1.2, 1.4, 2.3, 1.0, -2.3,
		-7.2, -11.2, -10.9, -3.5,
	}
	contourThreshold = []float64{
		78.1, 68.7, 59.5, 51.1, 44.0, 37.5, 31.5, 26.5, 22.1, 17.9, 14.4, 11.4,
		8.6, 6.2, 4.4, 3.0, 2.2, 2.4, 3.5, 1.7, -1.3, -4.2, -6.0, -5.4, -1.5,
		6.0, 12.6, 13.9, 12.3,
	}
)

// The parameters over log frequency.
var (
	exponentAt  = overLog(contourExponent)
	transferAt  = overLog(contourTransfer)
	thresholdAt = overLog(contourThreshold)
)

func overLog(values []float64) *interp.FritschButland {
	x := make([]float64, len(contourHz))
	for i, hz := range contourHz {
		x[i] = math.Log(hz)
	}
	var curve interp.FritschButland
	if err := curve.Fit(x, values); err != nil {
		panic("hearing: " + err.Error())
	}
	return &curve
}

// ContourFrequencies returns the 29 frequencies in hertz of ISO 226:2023.
func ContourFrequencies() []float64 { return slices.Clone(contourHz) }

// A RangeError is a question that ISO 226:2023 does not answer.
type RangeError struct {
	Hz        float64
	Phon      float64 // NaN if Hz is the reason
	Low, High float64 // phon that are covered at Hz; zero if Hz is the reason
}

// Error says what was asked and what the standard covers.
func (e *RangeError) Error() string {
	if e.High == 0 {
		return fmt.Sprintf("hearing: %g Hz is outside ISO 226:2023, which covers 20 Hz to 12500 Hz", e.Hz)
	}
	return fmt.Sprintf("hearing: %.4g phon at %g Hz is outside ISO 226:2023, which covers %g to %g phon there", e.Phon, e.Hz, e.Low, e.High)
}

// PhonRange returns the loudness levels in phon between which ISO 226:2023
// holds at a frequency in hertz, and whether it covers that frequency.
func PhonRange(hz float64) (low, high float64, ok bool) {
	switch {
	case hz >= 20 && hz <= 4000:
		return 20, 90, true
	case hz > 4000 && hz <= 12500:
		return 20, 80, true
	}
	return 0, 0, false
}

func checkPhon(hz, phon float64) error {
	const rounding = 1e-9 // so that a level taken from a contour leads back to it
	low, high, ok := PhonRange(hz)
	if !ok {
		return &RangeError{Hz: hz, Phon: math.NaN()}
	}
	if !(phon >= low-rounding && phon <= high+rounding) {
		return &RangeError{Hz: hz, Phon: phon, Low: low, High: high}
	}
	return nil
}

// A tone holds the parameters of the standard at one frequency.
type tone struct {
	exponent  float64
	transfer  float64 // dB
	threshold float64 // the last term in the braces of formula 1
	reference float64 // (4e-10)^(0.3−αf)
}

func toneAt(hz float64) tone {
	x := math.Log(hz)
	t := tone{exponent: exponentAt.Predict(x), transfer: transferAt.Predict(x)}
	t.threshold = math.Pow(10, t.exponent*(thresholdAt.Predict(x)+t.transfer)/10)
	t.reference = math.Pow(4e-10, 0.3-t.exponent)
	return t
}

// atThreshold is 10^(0.03 N) at the threshold of hearing at 1 kHz.
var atThreshold = math.Pow(10, 0.072)

// pressure is formula 1 of ISO 226:2023.
func (t tone) pressure(phon float64) float64 {
	loudness := t.reference * (math.Pow(10, 0.03*phon) - atThreshold)
	return 10/t.exponent*math.Log10(loudness+t.threshold) - t.transfer
}

// phon is formula 2 of ISO 226:2023, -Inf where that has no value.
func (t tone) phon(db float64) float64 {
	loudness := math.Pow(10, t.exponent*(db+t.transfer)/10) - t.threshold
	return 100.0 / 3 * math.Log10(math.Max(0, loudness/t.reference+atThreshold))
}

// PressureLevel returns the sound pressure level in dB re 20 µPa of a tone
// that has a given loudness level, the contour Lp(f, N) of ISO 226:2023.
func PressureLevel(hz, phon float64) (db float64, err error) {
	if err := checkPhon(hz, phon); err != nil {
		return 0, err
	}
	return toneAt(hz).pressure(phon), nil
}

// LoudnessLevel returns the loudness level in phon of a tone that has a given
// sound pressure level in dB re 20 µPa. It inverts [PressureLevel].
func LoudnessLevel(hz, db float64) (phon float64, err error) {
	if _, _, ok := PhonRange(hz); !ok {
		return 0, &RangeError{Hz: hz, Phon: math.NaN()}
	}
	phon = toneAt(hz).phon(db)
	if err := checkPhon(hz, phon); err != nil {
		return 0, err
	}
	return phon, nil
}

// Boost returns by how many dB a tone must be raised against one at 1 kHz to
// keep its place in the balance when the level of the whole falls from one
// loudness level in phon to another: [Lp(f, to) − to] − [Lp(f, from) − from].
func Boost(fromPhon, toPhon, hz float64) (db float64, err error) {
	for _, phon := range []float64{fromPhon, toPhon} {
		if err := checkPhon(hz, phon); err != nil {
			return 0, err
		}
	}
	t := toneAt(hz)
	return (t.pressure(toPhon) - toPhon) - (t.pressure(fromPhon) - fromPhon), nil
}
