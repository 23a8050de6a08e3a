package document_test

import (
	"fmt"

	"loadscape/cmd/loadscape/internal/document"
	"loadscape/cmd/loadscape/internal/quantity"
)

// An enclosure is what the decoders below make; each kind is one entry of
// enclosures and one function that reads as the mapping is written.
type enclosure struct {
	kind         string
	volume, loss float64
}

var enclosures = []document.Kind[enclosure]{
	{Key: "free_air", Alone: true, Decode: freeAir},
	{Key: "closed", Decode: closed},
}

func freeAir(document.Value, *document.Fields) enclosure { return enclosure{kind: "free air"} }

func closed(v document.Value, _ *document.Fields) enclosure {
	f := v.Fields()
	return enclosure{
		kind:   "closed",
		volume: f.Required("volume").Quantity(quantity.Volume, quantity.Positive),
		loss:   f.Default("leakage_q", "7").Quantity(quantity.Number, quantity.Positive),
	}
}

// All mistakes of a file are found in one go.
func Example() {
	d, err := document.Parse("bench.yaml", []byte(`
open: {enclosure: free_air}
pine: {enclosure: {closed: {volume: 68 L}}}
oak:  {enclosure: {closed: {volume: 68}}, encloser: 2}
ash:  {enclosure: {closed: {leakage_q: 0, volum: 68 L}}}
elm:  {enclosure: free air, volume: 3 L}
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, e := range d.Root().Entries() {
		made, ok := document.Pick(e.Value.Fields().Required("enclosure"), enclosures...)
		if ok && made.volume > 0 {
			fmt.Printf("%s: %s, %s\n", e.Name, made.kind, quantity.Format(made.volume, quantity.Volume, 3))
		}
	}
	fmt.Println(d.Err())
	// Output:
	// pine: closed, 68 L
	// bench.yaml:4:37: oak.enclosure.closed.volume: found "68", a number without a unit; expected a volume such as 68 L
	// bench.yaml:4:43: oak.encloser: found the unknown key "encloser"; expected enclosure
	// bench.yaml:5:40: ash.enclosure.closed.leakage_q: found "0"; expected a plain number above zero
	// bench.yaml:5:43: ash.enclosure.closed.volum: found the unknown key "volum"; expected volume or leakage_q (did you mean "volume"?)
	// bench.yaml:6:19: elm.enclosure: found "free air"; expected free_air or {closed: ...} (did you mean "free_air"?)
	// bench.yaml:6:29: elm.volume: found the unknown key "volume"; expected enclosure
}
