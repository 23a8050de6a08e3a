package bench

import (
	"testing"
)

func TestDemo(t *testing.T) {
	b, err := Open("../../../../testdata/attic.yaml")
	if err != nil {
		t.Fatal(err)
	}
	t.Log(b.CurveNames(), b.setupNames(), b.Warnings)
	for _, s := range b.Setups {
		hz, _ := b.Sweep.Frequencies()
		if _, err := s.Run(hz); err != nil {
			t.Error(err)
		}
	}
	if b, err = Open("../../starter.yaml"); err != nil {
		t.Fatal(err)
	}
	t.Log(b.CurveNames(), b.setupNames(), b.Warnings)
}
