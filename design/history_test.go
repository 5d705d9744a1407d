package design_test

import (
	"fmt"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"urdir/design"
	"urdir/examples"
	"urdir/plan"
)

func ExampleHistory() {
	h := design.NewHistory(20, 50)
	h = h.Do("wider", 24)
	h = h.Do("wider", 30)
	h = h.Undo()
	fmt.Println(h.Now())
	label, ok := h.CanRedo()
	fmt.Println(label, ok)
	fmt.Println(h.Redo().Now(), h.Undo().Undo().Now())
	// Output:
	// 24
	// wider true
	// 30 20
}

func TestHistory_bounded(t *testing.T) {
	h := design.NewHistory(0, 3)
	for i := 1; i <= 10; i++ {
		h = h.Do(fmt.Sprint(i), i)
	}
	for range 5 {
		h = h.Undo()
	}
	if _, ok := h.CanUndo(); h.Now() != 7 || ok {
		t.Errorf("three steps back from 10 is %d, more: %t", h.Now(), ok)
	}
	if h = h.Do("other", 70); h.Redo().Now() != 70 {
		t.Error("what was taken back was done again after another step")
	}
	if h := design.NewHistory(1, 0).Do("on", 2).Undo(); h.Now() != 2 {
		t.Errorf("a step was kept of none: %d", h.Now())
	}
}

// Another way taken from an earlier step leaves this one as it was.
func TestHistory_branches(t *testing.T) {
	h := design.NewHistory(0, 9)
	for i := 1; i <= 3; i++ {
		h = h.Do("", i)
	}
	other := h.Undo().Undo().Do("", 8).Do("", 9)
	if got := h.Undo().Now(); got != 2 || other.Undo().Now() != 8 || h.Undo().Redo().Now() != 3 {
		t.Errorf("a step back from 3 is %d", got)
	}
}

// Undoing every edit of a cloth gives the cloth, redoing them its last state,
// and no history is changed by what is done to another.
func TestHistory_restores(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom(examples.Kinds).Draw(t, "kind")
		h := design.NewHistory(example(t, kind), 100)
		states, all := []plan.Cloth{h.Now()}, []design.History[plan.Cloth]{h}
		n := rapid.IntRange(1, 6).Draw(t, "steps")
		for i := range n {
			next, _ := anyEdit(t, h.Now())
			h = h.Do(fmt.Sprint(i), next)
			states, all = append(states, next), append(all, h)
		}
		last := h
		for i := n - 1; i >= 0; i-- {
			h = h.Undo()
			if !reflect.DeepEqual(h.Now(), states[i]) {
				t.Fatalf("step %d is not restored", i)
			}
		}
		h.Do("other", states[n])
		for range n {
			h = h.Redo()
		}
		if !reflect.DeepEqual(h.Now(), last.Now()) || !reflect.DeepEqual(h.Now(), all[n].Now()) || !reflect.DeepEqual(h.Undo().Now(), states[n-1]) {
			t.Fatal("not done again as it was")
		}
	})
}

// Three steps of a drag are taken back as one; after another step, or after
// something was taken back, a drag is a step of its own.
func TestHistory_again(t *testing.T) {
	h := design.NewHistory(0, 10).Do("drag", 1).Again("drag", 2).Again("drag", 3)
	if h.Now() != 3 || h.Undo().Now() != 0 {
		t.Errorf("at %d, back to %d; want 3 and 0", h.Now(), h.Undo().Now())
	}
	if other := h.Do("lay", 4).Again("drag", 5).Undo(); other.Now() != 4 {
		t.Errorf("back to %d, want 4", other.Now())
	}
	if undone := h.Do("drag", 4).Undo().Again("drag", 6).Undo(); undone.Now() != 3 {
		t.Errorf("back to %d, want 3", undone.Now())
	}
	if h := design.NewHistory(0, 10).Again("drag", 1).Undo(); h.Now() != 0 {
		t.Errorf("back to %d, want 0", h.Now())
	}
}
