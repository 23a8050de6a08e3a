package thielesmall_test

import (
	"fmt"
	"log"
	"math"
	"math/cmplx"

	"loadscape/network"
	"loadscape/thielesmall"
)

// marlow is an invented guitar loudspeaker.
var marlow = thielesmall.Driver{
	Name: "marlow-12",
	Re:   6.5, Fs: 78, Qms: 8.2, Qes: 0.92,
	Vas: 51e-3, Sd: 522e-4, Xmax: 0.9e-3,
	RatedPower: 30, RatedImpedance: 8,
	VoiceCoil:  thielesmall.SemiInductance{Leb: 0.05e-3, Le: 0.8e-3, Ke: 0.04, Rss: 150},
	Suspension: thielesmall.Creep{Lambda: 0.08},
}

// The impedance of a driver in free air.
func ExampleDriver() {
	hz := []float64{20, 78, 400, 1000, 10000}
	z, err := network.Impedance(marlow, hz)
	if err != nil {
		log.Fatal(err)
	}
	for i, f := range hz {
		fmt.Printf("%5.0f Hz: %5.1f ohm at %5.1f°\n", f, cmplx.Abs(z[i]), cmplx.Phase(z[i])*180/math.Pi)
	}
	// Output:
	//    20 Hz:   7.0 ohm at  17.6°
	//    78 Hz:  46.6 ohm at  -0.5°
	//   400 Hz:   7.0 ohm at  -2.6°
	//  1000 Hz:   7.7 ohm at  12.0°
	// 10000 Hz:  15.3 ohm at  38.4°
}

// Four drivers in a closed box, two in series and two of these in parallel.
func ExampleCabinet_Response() {
	wiring, err := thielesmall.Wire(marlow, 4, thielesmall.InSeriesParallel)
	if err != nil {
		log.Fatal(err)
	}
	ash := thielesmall.Cabinet{
		Name:      "ash-412",
		Wiring:    wiring,
		Enclosure: thielesmall.Closed{Volume: 110e-3, LeakageQ: 10, FillFactor: 1.1},
	}
	hz := []float64{40, 80, 130, 200}
	o, err := ash.Response(hz, 17.9) // 40 W into 8 ohm
	if err != nil {
		log.Fatal(err)
	}
	cone := o.Cones[0]
	fmt.Println(cone.Name)
	for i, f := range hz {
		fmt.Printf("%3.0f Hz: %.2f mm, %.1f dB\n", f, 1e3*cone.Excursion[i], o.Level[i])
	}
	// Output:
	// ash-412/driver-1
	//  40 Hz: 1.05 mm, 99.1 dB
	//  80 Hz: 1.18 mm, 112.4 dB
	// 130 Hz: 1.20 mm, 121.0 dB
	// 200 Hz: 0.54 mm, 121.6 dB
}

// The impedance of a cabinet with an open back, and of one of its drivers in
// free air.
func ExampleCabinet() {
	wiring, err := thielesmall.Wire(marlow, 2, thielesmall.InParallel)
	if err != nil {
		log.Fatal(err)
	}
	pine := thielesmall.Cabinet{
		Name:      "pine-212",
		Wiring:    wiring,
		Enclosure: thielesmall.OpenBack{Volume: 68e-3, Opening: 900e-4, Thickness: 15e-3},
	}
	hz := []float64{40, 55, 70, 110, 400}
	open, err := network.Impedance(pine, hz)
	if err != nil {
		log.Fatal(err)
	}
	free, err := network.Impedance(marlow, hz)
	if err != nil {
		log.Fatal(err)
	}
	for i, f := range hz {
		fmt.Printf("%3.0f Hz: %4.1f ohm, one driver alone %4.1f ohm\n", f, cmplx.Abs(open[i]), cmplx.Abs(free[i]))
	}
	// Output:
	// 40 Hz:  5.4 ohm, one driver alone  8.9 ohm
	//  55 Hz: 17.8 ohm, one driver alone 13.4 ohm
	//  70 Hz:  6.1 ohm, one driver alone 30.3 ohm
	// 110 Hz:  3.6 ohm, one driver alone 12.8 ohm
	// 400 Hz:  3.5 ohm, one driver alone  7.0 ohm
}

// What is doubtful about a cabinet comes as data.
func ExampleCabinet_Check() {
	d := marlow
	d.Sheet = thielesmall.Sheet{Bl: 13, Mms: 30e-3}
	pine := thielesmall.Cabinet{
		Name:      "pine-112",
		Wiring:    d,
		Enclosure: thielesmall.Vented{Volume: 60e-3, Tuning: 62},
	}
	for _, w := range pine.Check() {
		fmt.Println(w)
	}
	// Output:
	// cabinet pine-112: vented: leakage_q is not given: 7 is taken, usual for vented boxes (Small 1973)
	// driver marlow-12: the data sheet states bl 13 T m, its other values give 10.45 T m
	// driver marlow-12: the loss of the creep is added to that of qms: at fs the mechanical Q is 5.67 and not 8.2; a measured qms contains both
}
