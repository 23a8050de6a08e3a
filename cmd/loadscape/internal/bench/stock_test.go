package bench

import (
	"slices"
	"strings"
	"testing"
)

func TestStock(t *testing.T) {
	b, err := Read("f.yaml", []byte("stock: {resistors: [10 ohm, 4R7, 10 ohm], capacitors: [220 uF]}\n"))
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(b.Stock.Resistors, []float64{4.7, 10}) || !slices.Equal(b.Stock.Capacitors, []float64{220e-6}) || b.Stock.Inductors != nil {
		t.Errorf("stock: %+v", b.Stock)
	}
	_, err = Read("f.yaml", []byte("stock: {resistors: [10 H, 0 ohm], coils: [1 mH]}\n"))
	if err == nil {
		t.Fatal("no error")
	}
	for _, want := range []string{`f.yaml:1:21: stock.resistors[0]: found "10 H"`, `stock.resistors[1]: found "0 ohm"`, `unknown key "coils"`} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("%q is not in %v", want, err)
		}
	}
}
