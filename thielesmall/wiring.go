package thielesmall

import (
	"fmt"
	"reflect"
	"slices"

	"loadscape/network"
)

// A Connection is a usual way to wire equal drivers.
type Connection uint8

// The usual connections.
const (
	InParallel       Connection = iota // all across the same two wires
	InSeries                           // one after the other
	InSeriesParallel                   // pairs in series, the pairs in parallel
)

var connections = [...]string{"parallel", "series", "series-parallel"}

// String returns the connection's word, as "series-parallel".
func (k Connection) String() string {
	if int(k) < len(connections) {
		return connections[k]
	}
	return fmt.Sprintf("Connection(%d)", uint8(k))
}

// ParseConnection returns the connection of a word: "parallel", "series" or
// "series-parallel".
func ParseConnection(word string) (Connection, error) {
	for i, s := range connections {
		if word == s {
			return Connection(i), nil
		}
	}
	return 0, &FieldError{Of: "wiring", Field: "word", Is: fmt.Sprintf("%q", word), Want: "parallel, series or series-parallel"}
}

// MaxDrivers is the largest number of drivers in a cabinet.
const MaxDrivers = 64

// Wire returns count drivers d wired in the given way, for [Cabinet.Wiring].
// Series-parallel wants an even count from 4 up; 2 × 2 drivers present the
// impedance of one.
func Wire(d Driver, count int, k Connection) (network.OnePort, error) {
	if count < 1 || count > MaxDrivers {
		return nil, &FieldError{Of: "wiring", Field: "count", Is: fmt.Sprint(count), Want: fmt.Sprintf("a number from 1 to %d", MaxDrivers)}
	}
	all := make([]network.OnePort, count)
	for i := range all {
		all[i] = d
	}
	switch k {
	case InParallel:
		return network.Parallel(all), nil
	case InSeries:
		return network.Series(all), nil
	case InSeriesParallel:
		return pairs(all)
	}
	panic("thielesmall: no such connection")
}

// pairs wires pairs in series and the pairs in parallel.
func pairs(all []network.OnePort) (network.OnePort, error) {
	if len(all) < 4 || len(all)%2 != 0 {
		return nil, &FieldError{Of: "wiring", Field: "count", Is: fmt.Sprint(len(all)), Want: "an even number from 4 up for series-parallel, or write the connection out"}
	}
	var group network.Parallel
	for i := 0; i < len(all); i += 2 {
		group = append(group, network.Series(all[i:i+2]))
	}
	return group, nil
}

// seat returns p with every driver in it replaced by what place returns for
// it, in order.
func seat(p network.OnePort, place func(Driver) network.OnePort) network.OnePort {
	switch p := p.(type) {
	case Driver:
		return place(p)
	case network.Series:
		return network.Series(seatAll(p, place))
	case network.Parallel:
		return network.Parallel(seatAll(p, place))
	case network.Named:
		p.OnePort = seat(p.OnePort, place)
		return p
	case network.Terminated:
		p.Load = seat(p.Load, place)
		return p
	case network.Mesh:
		parts := make([]network.MeshPart, len(p.Parts))
		for i, m := range p.Parts {
			m.OnePort = seat(m.OnePort, place)
			parts[i] = m
		}
		p.Parts = parts
		return p
	}
	return p
}

func seatAll(ports []network.OnePort, place func(Driver) network.OnePort) []network.OnePort {
	seated := make([]network.OnePort, len(ports))
	for i, p := range ports {
		seated[i] = seat(p, place)
	}
	return seated
}

// seatNames names the places of drivers in a cabinet: "driver-1", "driver-2"
// if all are the same, else after the drivers, numbered where a name repeats.
func seatNames(drivers []Driver) []string {
	names := make([]string, len(drivers))
	if len(distinct(drivers)) == 1 {
		for i := range names {
			names[i] = fmt.Sprintf("driver-%d", i+1)
		}
		return names
	}
	taken := map[string]bool{}
	for i, d := range drivers {
		names[i] = d.Name
		for n := 2; taken[names[i]]; n++ {
			names[i] = fmt.Sprintf("%s-%d", d.Name, n)
		}
		taken[names[i]] = true
	}
	return names
}

// distinct returns the drivers without repetitions, in order.
func distinct(drivers []Driver) []Driver {
	var d []Driver
	for _, x := range drivers {
		if !slices.ContainsFunc(d, func(y Driver) bool { return reflect.DeepEqual(x, y) }) {
			d = append(d, x)
		}
	}
	return d
}
