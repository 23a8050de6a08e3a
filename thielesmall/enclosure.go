package thielesmall

// An Enclosure is what the rear of the cones works into: [FreeAir],
// [InfiniteBaffle], [Closed], [Vented], [OpenBack] or [PassiveRadiator].
type Enclosure interface {
	// Label names the enclosure, as "open_back".
	Label() string
	// Validate reports every impossible value.
	Validate() error

	// loads reports whether the rear of the cones meets a pressure, so that
	// Vas and Sd of the drivers must be known.
	loads() bool
	// lay lays the enclosure and enters its openings.
	lay(b *box)
	// check returns what is doubtful about the enclosure for m.
	check(m mounting) []Warning
}

// mounting is what is in an enclosure.
type mounting struct {
	air     Air
	drivers []Driver
}
