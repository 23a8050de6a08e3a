package quantity_test

import (
	"fmt"

	"loadscape/cmd/loadscape/internal/quantity"
)

func Example() {
	for _, text := range []string{"6.5 ohm", "4R7", "1k2", "1 kHz", "8", "-4 ohm"} {
		r, err := quantity.Parse(text, quantity.Resistance, quantity.Positive)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Println(quantity.Format(r, quantity.Resistance, 3))
	}
	// Output:
	// 6.5 ohm
	// 4.7 ohm
	// 1.2 kohm
	// found "1 kHz", a frequency; expected a resistance such as 8 ohm, 4.7k or 4R7
	// found "8", a number without a unit; expected a resistance such as 8 ohm, 4.7k or 4R7
	// found "-4 ohm"; expected a resistance above zero
}
