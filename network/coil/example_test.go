package coil_test

import (
	"fmt"
	"log"

	"loadscape/network/coil"
	"loadscape/network/wire"
)

// An inductor of 1 mH from enamelled wire of 1 mm.
func ExampleDesign() {
	c, err := coil.Design(coil.Spec{
		Inductance: 1e-3,
		Wire:       wire.Wire{Diameter: 1e-3, Enamel: wire.Grade1},
	})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("former %.1f mm long, %.1f mm in diameter\n", 1e3*c.Length, 2e3*c.InnerRadius)
	fmt.Printf("%d turns, %d a layer, %d layers\n", c.Turns, c.TurnsPerLayer, c.Layers)
	fmt.Printf("%.1f m of wire, %.0f g of copper\n", c.WireLength, 1e3*c.Mass)
	fmt.Printf("%.3f mH, %.2f ohm\n", 1e3*c.Inductance, c.Resistance)
	// Output:
	// former 13.8 mm long, 27.6 mm in diameter
	// 169 turns, 13 a layer, 13 layers
	// 22.0 m of wire, 154 g of copper
	// 1.006 mH, 0.48 ohm
}
