package document

import (
	"fmt"

	"gopkg.in/yaml.v3"
)

// A form is what a node is made of.
type form uint8

const (
	scalar form = iota
	mapping
	sequence
)

// A node is a value of the tree.
type node struct {
	form         form
	line, column int
	text         string  // of a scalar
	null         bool    // a scalar that YAML takes for no value
	entries      []entry // of a mapping, in the order of the file
	index        map[string]int
	items        []*node // of a sequence
}

// An entry is a key of a mapping and its value.
type entry struct {
	key   *node
	value *node
}

// get returns the value of a key of a mapping, or nil.
func (n *node) get(key string) *node {
	if i, ok := n.index[key]; ok {
		return n.entries[i].value
	}
	return nil
}

// A builder makes nodes of those of the YAML library. It stops at err.
type builder struct {
	doc    *Document
	err    error
	values int
	path   []string     // the steps from the root to the node being built
	open   []*yaml.Node // the aliased nodes that are being copied
}

// build returns the node of y.
func (b *builder) build(y *yaml.Node) *node {
	n := &node{line: y.Line, column: y.Column}
	b.values++
	switch {
	case b.err != nil:
		return n
	case b.values > MaxValues:
		b.stop(y, fmt.Sprintf("more than %d keys and values, with aliases written out", MaxValues), "fewer")
		return n
	case len(b.path) > MaxDepth:
		b.stop(y, fmt.Sprintf("more than %d mappings and lists within each other", MaxDepth), "fewer")
		return n
	}
	if y.Style&yaml.TaggedStyle != 0 {
		b.mistake(y, "the tag "+quote(y.Tag), "a value without a tag")
	}
	switch y.Kind {
	case yaml.MappingNode:
		n.form = mapping
		b.buildMapping(n, y)
	case yaml.SequenceNode:
		n.form = sequence
		for i, item := range y.Content {
			n.items = append(n.items, b.child(item, indexStep(i)))
		}
	case yaml.AliasNode:
		return b.buildAlias(y)
	default:
		n.text = y.Value
		n.null = y.Tag == "!!null"
	}
	return n
}

// child returns the node of y, which is a step below the one being built.
func (b *builder) child(y *yaml.Node, step string) *node {
	b.path = append(b.path, step)
	defer func() { b.path = b.path[:len(b.path)-1] }()
	return b.build(y)
}

// buildAlias returns a copy of what an alias names.
func (b *builder) buildAlias(y *yaml.Node) *node {
	for _, o := range b.open {
		if o == y.Alias {
			b.stop(y, "the alias "+quote("*"+y.Value)+" within what it stands for", "an alias outside it")
			return &node{line: y.Line, column: y.Column}
		}
	}
	b.open = append(b.open, y.Alias)
	defer func() { b.open = b.open[:len(b.open)-1] }()
	return b.build(y.Alias)
}

// buildMapping makes the entries of n. Keys that cannot be used are left out.
func (b *builder) buildMapping(n *node, y *yaml.Node) {
	n.index = make(map[string]int, len(y.Content)/2)
	for i := 0; i+1 < len(y.Content) && b.err == nil; i += 2 {
		k := y.Content[i]
		key := b.buildKey(k)
		value := b.child(y.Content[i+1], keyStep(key.text))
		if value.null && value.text == "" {
			// Nothing was written: the library's place for it may lie behind
			// the end of the file.
			value.line, value.column = key.line, key.column
		}
		first, again := n.index[key.text]
		switch {
		case again:
			b.mistake(k, "the key "+quote(key.text)+" again",
				fmt.Sprintf("each key once (it is on line %d)", n.entries[first].key.line))
		case !key.null:
			n.index[key.text] = len(n.entries)
			n.entries = append(n.entries, entry{key, value})
		}
	}
}

// buildKey returns the node of a key, null if it is none that can be used.
func (b *builder) buildKey(k *yaml.Node) *node {
	const want = "a key that is a plain word"
	n := &node{line: k.Line, column: k.Column}
	b.values++
	switch {
	case k.Kind == yaml.ScalarNode && k.Tag == "!!merge":
		b.mistake(k, "the merge key <<", "the keys written out")
	case k.Kind == yaml.ScalarNode && k.Style&yaml.TaggedStyle != 0:
		b.mistake(k, "the tag "+quote(k.Tag), "a key without a tag")
	case k.Kind != yaml.ScalarNode:
		b.mistake(k, "a key that is a mapping, a list or an alias", want)
	case k.Value == "":
		b.mistake(k, "an empty key", want)
	default:
		n.text = k.Value
		return n
	}
	n.null = true
	return n
}

func (b *builder) mistake(y *yaml.Node, found, expected string) {
	b.doc.mistakes = append(b.doc.mistakes, Mistake{
		File: b.doc.file, Line: y.Line, Column: y.Column, Path: pathOf(b.path...), Found: found, Expected: expected,
	})
}

// stop ends the building: what follows cannot be decoded.
func (b *builder) stop(y *yaml.Node, found, expected string) {
	b.mistake(y, found, expected)
	b.err = newError(b.doc.mistakes)
}
