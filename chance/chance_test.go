package chance_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"urdir/chance"
)

// First numbers of SplitMix64 from 1234567 (from memory, as often published
// with the algorithm of Steele, Lea and Flood 2014).
func TestNext_published(t *testing.T) {
	want := []uint64{6457827717110365317, 3203168211198807973, 9817491932198370423, 4593380528125082431, 16408922859458223821}
	s := chance.Stream(1234567)
	for i, w := range want {
		if got := s.Next(); got != w {
			t.Errorf("number %d: got %d, want %d", i, got, w)
		}
	}
}

// Numbers stay within their bounds, each about as often as the others, and a
// shuffle loses nothing.
func TestBounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := chance.Stream(rapid.Uint64().Draw(t, "seed"))
		n := rapid.IntRange(1, 50).Draw(t, "n")
		count := make([]int, n)
		for range 200 * n {
			count[s.Below(n)]++
			if x := s.Share(); !(x >= 0 && x < 1) {
				t.Fatalf("a share of %v", x)
			}
		}
		for k, c := range count {
			if c < 100 || c > 320 { // 200, seven standard deviations off
				t.Errorf("%d of %d came %d times of %d", k, n, c, 200*n)
			}
		}
		list := make([]int, n)
		for i := range list {
			list[i] = i
		}
		chance.Shuffle(&s, list)
		slices.Sort(list)
		for i, v := range list {
			if i != v {
				t.Fatalf("a shuffle gave %v", list)
			}
		}
	})
}
