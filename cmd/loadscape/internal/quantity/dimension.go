package quantity

import "strconv"

// A Dimension is a kind of quantity. It tells which units may be written and
// what unit [Parse] returns.
type Dimension uint8

// The dimensions, and the unit in which their values are returned.
const (
	Number               Dimension = iota // no unit at all
	Ratio                                 // 1; may be written in per cent
	Resistance                            // ohm; impedances too
	Inductance                            // H
	Capacitance                           // F
	Frequency                             // Hz
	Power                                 // W
	Voltage                               // V
	Current                               // A
	Length                                // m
	Area                                  // m²
	Volume                                // m³
	Mass                                  // kg
	Compliance                            // m/N
	MechanicalResistance                  // N·s/m
	ForceFactor                           // T·m
	Pressure                              // Pa
	Temperature                           // °C
	Level                                 // dB
	LoudnessLevel                         // phon
	Time                                  // s
	LoopInductance                        // H/m

	dimensions // their number
)

// String returns the name of the dimension, such as "resistance".
func (d Dimension) String() string {
	if d >= dimensions {
		return "Dimension(" + strconv.Itoa(int(d)) + ")"
	}
	return kinds[d].name
}

// Expected says what a text of this dimension looks like, to follow the word
// "expected": "a resistance such as 8 ohm, 4.7k or 4R7".
func (d Dimension) Expected() string {
	k := d.kind()
	return k.article + " " + k.name + " such as " + k.examples
}

// kind returns the description of d.
func (d Dimension) kind() *kind {
	if d >= dimensions {
		panic("quantity: " + d.String() + " is not a dimension")
	}
	return &kinds[d]
}

// A kind describes a dimension.
type kind struct {
	article, name string
	examples      string
	// ladder lists the units that Format chooses from, the smallest first.
	ladder []string
	units  []unit
}

// A unit is a unit in all its spellings.
type unit struct {
	names    []string
	prefixes string  // those it takes, beside none
	power    int     // 2 if prefixes are squared, 3 if cubed; 0 means 1
	exponent int     // of ten, to the SI unit
	factor   float64 // to the SI unit, beside exponent; 0 means 1
}

var ohm = []string{"ohm", "ohms", "Ohm", "Ohms"}

var kinds = [dimensions]kind{
	Number: {"a", "plain number", "0.66", []string{""}, []unit{{names: []string{""}}}},
	Ratio: {"a", "ratio", "0.05 or 5 %", []string{""}, []unit{
		{names: []string{""}}, {names: []string{"%"}, exponent: -2}}},
	Resistance: {"a", "resistance", "8 ohm, 4.7k or 4R7",
		[]string{"uohm", "mohm", "ohm", "kohm", "Mohm", "Gohm", "Tohm"}, []unit{
			{names: ohm, prefixes: "numkMGT"},
			{names: []string{"R"}}, {names: []string{"k", "K"}, exponent: 3}, {names: []string{"M"}, exponent: 6},
			{names: []string{"G"}, exponent: 9}, {names: []string{"T"}, exponent: 12}}},
	Inductance: {"an", "inductance", "0.6 mH", []string{"nH", "uH", "mH", "H"},
		[]unit{{names: []string{"H"}, prefixes: "pnum"}}},
	Capacitance: {"a", "capacitance", "220 uF", []string{"pF", "nF", "uF", "mF", "F"},
		[]unit{{names: []string{"F"}, prefixes: "pnum"}}},
	Frequency: {"a", "frequency", "82 Hz or 2.5 kHz", []string{"Hz", "kHz", "MHz"},
		[]unit{{names: []string{"Hz"}, prefixes: "kM"}}},
	Power: {"a", "power", "40 W", []string{"uW", "mW", "W", "kW"},
		[]unit{{names: []string{"W"}, prefixes: "umk"}}},
	Voltage: {"a", "voltage", "17.9 V", []string{"uV", "mV", "V", "kV"},
		[]unit{{names: []string{"V"}, prefixes: "umk"}}},
	Current: {"a", "current", "2.2 A", []string{"uA", "mA", "A", "kA"},
		[]unit{{names: []string{"A"}, prefixes: "umk"}}},
	Length: {"a", "length", "15 mm or 6 m", []string{"um", "mm", "m", "km"}, []unit{
		{names: []string{"m"}, prefixes: "umcdk"},
		{names: []string{"in"}, exponent: -3, factor: 25.4}, {names: []string{"ft"}, factor: 0.3048}}},
	Area: {"an", "area", "522 cm2 or 1.5 mm2", []string{"mm2", "cm2", "m2"}, []unit{
		{names: []string{"m2"}, prefixes: "mcd", power: 2},
		{names: []string{"in2"}, exponent: -6, factor: 645.16}, {names: []string{"ft2"}, factor: 0.09290304}}},
	Volume: {"a", "volume", "68 L", []string{"mL", "L", "m3"}, []unit{
		{names: []string{"L", "l"}, prefixes: "mcd", exponent: -3},
		{names: []string{"m3"}, prefixes: "mcd", power: 3},
		{names: []string{"in3"}, exponent: -6, factor: 16.387064}, {names: []string{"ft3"}, factor: 0.028316846592}}},
	Mass: {"a", "mass", "38 g", []string{"ug", "mg", "g", "kg"}, []unit{
		{names: []string{"g"}, prefixes: "umk", exponent: -3},
		{names: []string{"oz"}, exponent: -3, factor: 28.349523125}, {names: []string{"lb"}, factor: 0.45359237}}},
	Compliance: {"a", "compliance", "0.12 mm/N", []string{"um/N", "mm/N", "m/N"},
		[]unit{{names: []string{"m/N"}, prefixes: "um"}}},
	MechanicalResistance: {"a", "mechanical resistance", "2.1 N s/m or 2.1 kg/s", []string{"N s/m"}, []unit{
		{names: []string{"N s/m", "N·s/m", "Ns/m", "kg/s"}}, {names: []string{"g/s"}, exponent: -3}}},
	ForceFactor: {"a", "force factor", "12.5 T m or 12.5 N/A", []string{"T m"},
		[]unit{{names: []string{"T m", "T·m", "Tm", "N/A"}}}},
	Pressure: {"a", "pressure", "101.325 kPa", []string{"uPa", "mPa", "Pa", "kPa", "MPa"}, []unit{
		{names: []string{"Pa"}, prefixes: "umhkM"}, {names: []string{"bar"}, prefixes: "m", exponent: 5}}},
	Temperature:    {"a", "temperature", "20 C", []string{"C"}, []unit{{names: []string{"C", "°C"}}}},
	Level:          {"a", "level", "12 dB", []string{"dB"}, []unit{{names: []string{"dB"}}}},
	LoudnessLevel:  {"a", "loudness level", "80 phon", []string{"phon"}, []unit{{names: []string{"phon"}}}},
	Time:           {"a", "time", "10 s", []string{"us", "ms", "s"}, []unit{{names: []string{"s"}, prefixes: "um"}}},
	LoopInductance: {"an", "inductance per length", "0.6 uH/m", []string{"nH/m", "uH/m", "mH/m", "H/m"}, []unit{{names: []string{"H/m"}, prefixes: "num"}}},
}
