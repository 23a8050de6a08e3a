package document

import "slices"

// Fields are the values of a mapping by their keys. Every key that the mapping
// may have must be asked for; [Document.Err] reports the others.
type Fields struct {
	value Value
	asked []string
	// Values that were wanted and are missing, reported unless a misspelt key
	// accounts for them.
	missing []missing
	// Whether it is known what the mapping holds; otherwise keys that were not
	// asked for may be right.
	unclear bool
}

// missing is a value that must be there under one of several keys and is not.
type missing struct {
	keys    []string
	mistake Mistake
}

// Fields returns the fields of a mapping. Of a value that is not a mapping,
// the fields are all missing in silence. Called twice on the same mapping it
// returns the same.
func (v Value) Fields() *Fields {
	if !v.is(mapping, "a mapping such as {key: value}") {
		return &Fields{}
	}
	at := place{v.node, v.path}
	f := v.doc.fields[at]
	if f == nil {
		f = &Fields{value: v}
		v.doc.fields[at] = f
		v.doc.opened = append(v.doc.opened, f)
	}
	return f
}

// Value returns the mapping itself.
func (f *Fields) Value() Value { return f.value }

// Optional returns the value of a key that may be missing.
func (f *Fields) Optional(key string) Value {
	if f.value.node == nil {
		return Value{}
	}
	if !slices.Contains(f.asked, key) {
		f.asked = append(f.asked, key)
	}
	return Value{doc: f.value.doc, node: f.value.node.get(key), path: pathOf(f.value.path, keyStep(key))}
}

// Required returns the value of a key that must be there. It is the method
// that reads the value that records a missing one, since it can say what is
// expected.
func (f *Fields) Required(key string) Value {
	v := f.Optional(key)
	if v.node == nil && f.value.node != nil {
		v.from, v.key = f, key
	}
	return v
}

// Default returns the value of a key or, if it is missing, one of the given
// text, which must be right.
func (f *Fields) Default(key, text string) Value {
	v := f.Optional(key)
	if v.node == nil && f.value.node != nil {
		v.node = &node{line: f.value.node.line, column: f.value.node.column, text: text}
	}
	return v
}

// Exclude records a mistake for each of the keys that is there although what
// is there rules it out.
func (f *Fields) Exclude(because string, keys ...string) {
	for _, k := range keys {
		if v := f.Optional(k); v.Exists() {
			v.Reject("the key "+quote(k), "no such key "+because)
		}
	}
}

// forget takes keys but one for not asked for, so that they are not offered
// beside the one that rules them out.
func (f *Fields) forget(keys []string, but string) {
	f.asked = slices.DeleteFunc(f.asked, func(k string) bool { return k != but && slices.Contains(keys, k) })
}

// miss records that the key is not there.
func (f *Fields) miss(key, expected string) {
	f.missing = append(f.missing, missing{[]string{key}, Mistake{
		Path: pathOf(f.value.path, keyStep(key)), Found: "nothing", Expected: expected,
	}})
}

// mistakes returns what is wrong with the keys.
func (f *Fields) mistakes() []Mistake {
	var all []Mistake
	accounted := map[string]bool{}
	for _, e := range f.value.node.entries {
		key := e.key.text
		if slices.Contains(f.asked, key) {
			continue
		}
		meant := f.value.doc.nearest(key, f.absent())
		if f.unclear && meant == "" {
			continue
		}
		accounted[meant] = true
		all = append(all, f.at(e.key, Mistake{
			Path: pathOf(f.value.path, keyStep(key)), Found: "the unknown key " + quote(key), Expected: f.known(), Suggestion: meant,
		}))
	}
	for _, m := range f.missing {
		if !slices.ContainsFunc(m.keys, func(k string) bool { return accounted[k] }) {
			all = append(all, f.at(f.value.node, m.mistake))
		}
	}
	return all
}

// at returns the mistake at the place of n.
func (f *Fields) at(n *node, m Mistake) Mistake {
	m.File, m.Line, m.Column = f.value.doc.file, n.line, n.column
	return m
}

// absent returns the keys that were asked for and are not there.
func (f *Fields) absent() []string {
	return slices.DeleteFunc(slices.Clone(f.asked), func(k string) bool { return f.value.node.get(k) != nil })
}

// known says which keys the mapping may have.
func (f *Fields) known() string {
	if len(f.asked) == 0 {
		return "no keys"
	}
	return list(f.asked, "or")
}
