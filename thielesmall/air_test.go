package thielesmall

import (
	"math"
	"testing"
)

// Dry air in tables: 1.2041 kg/m³ and 343.2 m/s at 20 °C, 1.2922 (1.2929 in
// some) kg/m³ and 331.3 m/s at 0 °C, all at 101.325 kPa (CRC Handbook of
// Chemistry and Physics; quoted from memory). The ideal gas is within 0.1 %.
func TestAirTables(t *testing.T) {
	for _, x := range []struct{ celsius, density, speed float64 }{{20, 1.2041, 343.2}, {0, 1.2922, 331.3}} {
		a := Air{Temperature: Celsius(x.celsius)}
		if math.Abs(a.Density()-x.density) > 1e-3*x.density || math.Abs(a.SoundSpeed()-x.speed) > 1e-3*x.speed {
			t.Errorf("%g °C: %.4f kg/m³, %.2f m/s", x.celsius, a.Density(), a.SoundSpeed())
		}
	}
}

func TestAirStiffnessIsGammaP(t *testing.T) {
	for _, a := range []Air{{}, {Celsius(-20), 60e3}, {Celsius(50), 110e3}} {
		rc2 := a.Density() * a.SoundSpeed() * a.SoundSpeed()
		if c := a.Compliance(0.1); math.Abs(c*rc2-0.1) > 1e-15 {
			t.Errorf("%+v: compliance %g, ρc² %g", a, c, rc2)
		}
	}
}

func TestZeroAirIsTheDefault(t *testing.T) {
	if got := (Air{Celsius(DefaultTemperature), DefaultPressure}); got.Density() != (Air{}).Density() || got.SoundSpeed() != (Air{}).SoundSpeed() {
		t.Errorf("zero air has %g kg/m³", Air{}.Density())
	}
	if got := Celsius(-7.5).Celsius(); got != -7.5 {
		t.Errorf("-7.5 °C became %g °C", got)
	}
}
