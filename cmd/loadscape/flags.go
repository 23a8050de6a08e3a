package main

import (
	"fmt"
	"strings"

	"loadscape/cmd/loadscape/internal/quantity"
)

// A choice is a word of a flag that stands for a value.
type choice[T any] struct {
	word  string
	value T
}

// choose sets the value of the choice that a flag names.
func choose[T any](flag, text string, set *T, choices ...choice[T]) error {
	var words []string
	for _, c := range choices {
		if c.word == text {
			*set = c.value
			return nil
		}
		words = append(words, c.word)
	}
	last := len(words) - 1
	return fmt.Errorf("%s %s: expected %s or %s", flag, text, strings.Join(words[:last], ", "), words[last])
}

// setQuantity reads a positive quantity of a flag that may be empty.
func setQuantity(flag, text string, d quantity.Dimension, set *float64) error {
	if text == "" {
		return nil
	}
	v, err := quantity.Parse(text, d, quantity.Positive)
	if err != nil {
		return fmt.Errorf("%s: %w", flag, err)
	}
	*set = v
	return nil
}

// setFrequency reads a frequency of a flag that may be empty.
func setFrequency(flag, text string, set *float64) error {
	if text == "" {
		return nil
	}
	hz, err := frequency(text)
	if err == nil && !(hz > 0) {
		err = fmt.Errorf("found %q; expected a frequency above zero", text)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", flag, err)
	}
	*set = hz
	return nil
}
