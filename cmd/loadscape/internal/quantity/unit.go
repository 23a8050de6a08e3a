package quantity

import "strings"

// prefixes are the SI prefixes and their powers of ten.
var prefixes = map[byte]int{
	'p': -12, 'n': -9, 'u': -6, 'm': -3, 'c': -2, 'd': -1,
	'h': 2, 'k': 3, 'M': 6, 'G': 9, 'T': 12,
}

// A scale takes a number in some unit to the SI: number·10^exponent·factor.
type scale struct {
	exponent int
	factor   float64 // 0 means 1
}

// spellings holds the scale of every spelling of every unit, and spelled the
// spellings in the order of the tables.
var spellings, spelled = spellUnits()

func spellUnits() (scales [dimensions]map[string]scale, order [dimensions][]string) {
	for d, k := range kinds {
		scales[d] = map[string]scale{}
		for _, u := range k.units {
			for _, name := range u.names {
				scales[d][name] = scale{u.exponent, u.factor}
				order[d] = append(order[d], name)
				for _, p := range []byte(u.prefixes) {
					prefixed := string(p) + name
					scales[d][prefixed] = scale{u.exponent + max(u.power, 1)*prefixes[p], u.factor}
					order[d] = append(order[d], prefixed)
				}
			}
		}
	}
	return scales, order
}

// plainSpelling replaces the variants of a sign by the one in the tables.
var plainSpelling = strings.NewReplacer(
	"µ", "u", "μ", "u",
	"\u2126", "ohm", "\u03A9", "ohm",
	"²", "2", "³", "3", "^", "",
	"⋅", "·", "*", "·",
	"℃", "°C",
)

// normal returns the spelling of a unit as the tables have it.
func normal(unit string) string {
	return plainSpelling.Replace(strings.Join(strings.Fields(unit), " "))
}

// likely returns the spelling of a unit of d that only case tells from the
// given one, or "" if there is none or more than one unit it could be.
func likely(d Dimension, unit string) string {
	found := ""
	for _, s := range spelled[d] {
		// A lone m can be a slip for mohm as well as for M.
		if s == unit || s == "M" || !strings.EqualFold(s, unit) {
			continue
		}
		if found != "" && spellings[d][found] != spellings[d][s] {
			return ""
		}
		if found == "" {
			found = s
		}
	}
	return found
}

// measures returns the dimension that has the unit.
func measures(unit string) (Dimension, bool) {
	if unit == "" {
		return 0, false
	}
	for d := range dimensions {
		if _, ok := spellings[d][unit]; ok {
			return d, true
		}
	}
	return 0, false
}
