package thielesmall

import "math"

// The state of the air at which data sheets are taken to be stated.
const (
	DefaultTemperature = 20.0    // °C
	DefaultPressure    = 101_325 // Pa
)

// Dry air as an ideal gas.
const (
	gasConstant = 287.05 // J/(kg K)
	gamma       = 1.4    // ratio of the specific heats
	zeroCelsius = 273.15 // K
)

// A Temperature is counted in kelvins from [DefaultTemperature], so that its
// zero value is the default. Make one with [Celsius].
type Temperature float64

// Celsius returns a temperature of t °C.
func Celsius(t float64) Temperature { return Temperature(t - DefaultTemperature) }

// Celsius returns the temperature in °C.
func (t Temperature) Celsius() float64 { return float64(t) + DefaultTemperature }

// Air is the air around and inside a cabinet. The zero Air is dry air at 20 °C
// and 101.325 kPa.
type Air struct {
	Temperature Temperature
	Pressure    float64 // Pa; 0: DefaultPressure
}

// Density returns ρ in kg/m³.
func (a Air) Density() float64 { return a.pressure() / (gasConstant * a.kelvin()) }

// SoundSpeed returns c in m/s.
func (a Air) SoundSpeed() float64 { return math.Sqrt(gamma * gasConstant * a.kelvin()) }

// Compliance returns the acoustic compliance V/(ρc²) in m³/Pa of a volume in
// m³. As ρc² = γp, temperature has no part in it.
func (a Air) Compliance(volume float64) float64 { return volume / a.stiffness() }

// Validate reports a temperature or pressure in which no sheet's data hold.
func (a Air) Validate() error {
	var c checker
	c.between("temperature", a.Temperature.Celsius(), -100, 200, "°C")
	c.between("pressure", a.pressure(), 1e3, 1e7, "Pa")
	return c.err("air")
}

// stiffness returns ρc² in pascals.
func (a Air) stiffness() float64 { return gamma * a.pressure() }

func (a Air) kelvin() float64 { return a.Temperature.Celsius() + zeroCelsius }

func (a Air) pressure() float64 {
	if a.Pressure == 0 {
		return DefaultPressure
	}
	return a.Pressure
}
