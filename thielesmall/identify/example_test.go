package identify_test

import (
	"fmt"
	"math"

	"loadscape/network"
	"loadscape/network/measured"
	"loadscape/thielesmall"
	"loadscape/thielesmall/identify"
)

// curve stands for a measurement: a driver, perhaps with a mass on its cone.
func curve(mass float64) *measured.Table {
	d := thielesmall.Driver{
		Name: "marlow-12", Re: 6.5, Fs: 78, Qms: 8.2, Qes: 0.92,
		VoiceCoil: thielesmall.PowerLaw{K: 0.03, N: 0.66},
	}
	more := math.Sqrt(1 + mass/0.031) // on 31 g
	d.Fs, d.Qms, d.Qes = d.Fs/more, d.Qms*more, d.Qes*more
	t := &measured.Table{Name: d.Name}
	for i := range 300 {
		t.Hz = append(t.Hz, 10*math.Pow(2000, float64(i)/299))
	}
	z, err := network.Impedance(d, t.Hz)
	if err != nil {
		panic(err)
	}
	t.Z = z
	return t
}

func Example() {
	bare, err := identify.Identify(curve(0), identify.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	loaded, err := identify.Identify(curve(0.02), identify.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	r := bare.Resonances[0]
	fmt.Printf("Re %.2f ohm, fs %.1f Hz, Qms %.2f, Qes %.3f, Qts %.3f\n",
		bare.Re.Value, r.Hz.Value, r.Qms.Value, r.Qes.Value, r.Qts.Value)
	fmt.Printf("%s %.3f\n", bare.Candidates[0].VoiceCoil, bare.VoiceCoil)

	m, err := identify.AddedMass(bare, loaded, 0.02, 522e-4)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("Mms %.1f g, Bl %.2f N/A, Vas %.1f L\n", 1e3*m.Mms.Value, m.Bl.Value, 1e3*m.Vas.Value)
	// Output:
	// Re 6.50 ohm, fs 78.0 Hz, Qms 8.20, Qes 0.920, Qts 0.827
	// power_law {0.030 0.660}
	// Mms 31.0 g, Bl 10.36 N/A, Vas 51.9 L
}
