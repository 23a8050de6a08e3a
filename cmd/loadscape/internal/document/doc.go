// Package document reads YAML files that people write by hand and reports
// every mistake in them at once, each with its place, what was found and what
// was expected.
//
// [Parse] turns text into a tree of which each value knows its line, column
// and key path. Code that decodes the tree walks it with a [Value], asks for
// what it expects, and never checks for errors on the way: a value that is
// missing or wrong is recorded as a [Mistake] and read as zero.
// [Document.Err] returns them all.
//
//	func cable(v document.Value) (c Cable) {
//		f := v.Fields()
//		c.Length = f.Required("length").Quantity(quantity.Length, quantity.Positive)
//		c.Area = f.Default("area", "1.5 mm2").Quantity(quantity.Area, quantity.Positive)
//		return c
//	}
//
// A mapping's known keys are those that were asked for; any other is a
// mistake. Where a mapping holds one of several kinds of thing, [OneOf] picks
// the [Kind] by its key, and adding a kind is adding an entry to a list.
//
// # What is read
//
// Files are UTF-8 and hold one YAML document. Scalars are texts whatever YAML
// would take them for: what is a number is decided where it is read. Aliases
// stand for copies of what they name. Merge keys (<<), tags and keys that are
// not plain text are mistakes, and so is a key that a mapping repeats. The
// constants state how large a file may be; nothing in a file within these
// limits makes a panic or takes long.
package document
