package identify

import "testing"

// A curve of 480 rows, by one model and by all of them.
func BenchmarkIdentify(b *testing.B) {
	for _, c := range []struct {
		name string
		d    truth
		o    Options
	}{
		{"semi-inductance", models["semi-inductance"], Options{VoiceCoil: "semi_inductance", Creep: Never, Bumps: -1}},
		{"semi-inductance, creep", models["semi-inductance, creep"], Options{VoiceCoil: "semi_inductance"}},
		{"all, creep", models["semi-inductance, creep"], Options{}},
		{"richest asked for", richest, Options{VoiceCoil: "semi_inductance"}},
		{"richest of all", richest, Options{}},
	} {
		table := noisy(c.d.table(480), 1)
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				if _, err := Identify(table, c.o); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
