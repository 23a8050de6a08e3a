package document

// A Choice is a word that stands for a value.
type Choice[T any] struct {
	Word  string
	Value T
}

// Enum returns the value of the choice that v names.
func Enum[T any](v Value, choices ...Choice[T]) T {
	var zero T
	words := make([]string, len(choices))
	for i, c := range choices {
		words[i] = c.Word
	}
	if !v.is(scalar, list(words, "or")) {
		return zero
	}
	for _, c := range choices {
		if c.Word == v.node.text {
			return c.Value
		}
	}
	v.reject(quote(v.node.text), list(words, "or"), v.doc.nearest(v.node.text, words))
	return zero
}

// A Kind is one of several kinds of thing that a mapping may hold, told by the
// key under which it stands: {resistor: 8 ohm} or {closed: {volume: 68 L}}.
type Kind[T any] struct {
	Key string
	// Decode returns the thing that v describes. The mapping that holds it is
	// f, where its qualifiers stand: {resistor: 8 ohm, tolerance: 5 %}.
	Decode func(v Value, f *Fields) T
	// Alone tells that the key needs no value and may be written as a word. Of
	// a word, v and the values of f are missing.
	Alone bool
}

// OneOf returns the thing that f holds, which must be of exactly one of the
// kinds.
func OneOf[T any](f *Fields, kinds ...Kind[T]) (t T, ok bool) {
	chosen, ok := choose(f, kinds)
	if !ok {
		return t, false
	}
	v := f.Required(chosen.Key)
	if chosen.Alone && !v.node.null {
		v.Reject(v.describe(), "no value: "+chosen.Key+" has none")
	}
	return chosen.Decode(v, f), true
}

// Pick returns the thing that v is: a mapping that holds one of the kinds or
// the word of a kind that may stand alone.
func Pick[T any](v Value, kinds ...Kind[T]) (t T, ok bool) {
	word, isWord := v.Word()
	if !isWord {
		if !v.is(mapping, expectedKinds(kinds)) {
			return t, false
		}
		return OneOf(v.Fields(), kinds...)
	}
	for _, k := range kinds {
		switch {
		case k.Key == word && k.Alone:
			return k.Decode(Value{}, &Fields{}), true
		case k.Key == word:
			v.Reject("the word "+word+" alone", "{"+word+": ...} with its values")
			return t, false
		}
	}
	v.reject(quote(word), expectedKinds(kinds), v.doc.nearest(word, keys(kinds)))
	return t, false
}

// choose returns the kind whose key is in f. If there is none or more than
// one, it records the mistake and returns false.
func choose[T any](f *Fields, kinds []Kind[T]) (chosen Kind[T], ok bool) {
	if f.value.node == nil {
		return chosen, false
	}
	var there []string
	for _, k := range kinds {
		if f.Optional(k.Key).Exists() {
			chosen = k
			there = append(there, k.Key)
		}
	}
	if len(there) == 1 {
		f.forget(keys(kinds), chosen.Key)
		return chosen, true
	}
	f.unclear = true
	if len(there) > 1 {
		f.value.Reject(list(there, "and"), "only one of them")
		return chosen, false
	}
	f.missing = append(f.missing, missing{keys(kinds), Mistake{
		Path: f.value.path, Found: f.describe(), Expected: "one of the keys " + list(keys(kinds), "or"),
	}})
	return chosen, false
}

// describe says which keys a mapping has.
func (f *Fields) describe() string {
	const few = 8
	var there []string
	for _, e := range f.value.node.entries {
		there = append(there, e.key.text)
	}
	switch {
	case len(there) == 0:
		return "an empty mapping"
	case len(there) > few:
		return "a mapping of other keys"
	}
	return "only " + quotedList(there, "and")
}

// expectedKinds says which words and mappings are expected.
func expectedKinds[T any](kinds []Kind[T]) string {
	var forms []string
	for _, k := range kinds {
		if k.Alone {
			forms = append(forms, k.Key)
		} else {
			forms = append(forms, "{"+k.Key+": ...}")
		}
	}
	return list(forms, "or")
}

func keys[T any](kinds []Kind[T]) []string {
	out := make([]string, len(kinds))
	for i, k := range kinds {
		out[i] = k.Key
	}
	return out
}
