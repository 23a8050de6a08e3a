package thielesmall

// FreeAir is no enclosure: the rear of the cones is not loaded, and what it
// radiates meets what the front does.
type FreeAir struct{}

// InfiniteBaffle separates front and rear and loads neither: Fs of the drivers
// is taken as measured in it.
type InfiniteBaffle struct{}

var (
	_ Enclosure = FreeAir{}
	_ Enclosure = InfiniteBaffle{}
)

// Label returns "free_air".
func (FreeAir) Label() string { return "free_air" }

// Validate returns nil.
func (FreeAir) Validate() error { return nil }

// Label returns "infinite_baffle".
func (InfiniteBaffle) Label() string { return "infinite_baffle" }

// Validate returns nil.
func (InfiniteBaffle) Validate() error { return nil }

func (FreeAir) loads() bool        { return false }
func (InfiniteBaffle) loads() bool { return false }

func (FreeAir) lay(b *box)      { b.bare = true }
func (InfiniteBaffle) lay(*box) {}

func (e FreeAir) check(mounting) []Warning {
	return []Warning{{Limit, e.Label(), "what the rear of the cones radiates cancels what the front does: no sound level is computed"}}
}

func (InfiniteBaffle) check(mounting) []Warning { return nil }
