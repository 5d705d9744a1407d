package design

import "slices"

// History is a value with the steps that led to it and those taken back. It is
// a value itself: every method gives a new one. A value in it must not be
// changed afterwards, which those of this package never are.
type History[T any] struct {
	past, future []step[T] // the next one last
	now          step[T]
	most         int
}

// step is a value and what was done to come to it.
type step[T any] struct {
	value T
	label string
}

// NewHistory begins with a value and keeps the given number of steps.
func NewHistory[T any](start T, most int) History[T] {
	return History[T]{now: step[T]{value: start}, most: max(0, most)}
}

// Now is the value as it stands.
func (h History[T]) Now() T { return h.now.value }

// Do is the history after a step; the oldest step is forgotten when there are
// too many, and those taken back cannot be done again.
func (h History[T]) Do(label string, value T) History[T] {
	past := append(slices.Clone(h.past), h.now)
	h.past = past[max(0, len(past)-h.most):]
	h.now, h.future = step[T]{value, label}, nil
	return h
}

// Again is the history when the last step, the one with the label, goes on: as
// while something is dragged, which is taken back as one. If the last step was
// another, it is Do.
func (h History[T]) Again(label string, value T) History[T] {
	if last, ok := h.CanUndo(); !ok || last != label || len(h.future) > 0 {
		return h.Do(label, value)
	}
	h.now.value = value
	return h
}

// Undo takes the last step back; without one the history stays as it is.
func (h History[T]) Undo() History[T] {
	last := len(h.past) - 1
	if last < 0 {
		return h
	}
	h.future = append(slices.Clone(h.future), h.now)
	h.now, h.past = h.past[last], h.past[:last]
	return h
}

// Redo does again what Undo took back last.
func (h History[T]) Redo() History[T] {
	last := len(h.future) - 1
	if last < 0 {
		return h
	}
	h.past = append(slices.Clone(h.past), h.now)
	h.now, h.future = h.future[last], h.future[:last]
	return h
}

// CanUndo tells what Undo would take back, CanRedo what Redo would do again.
func (h History[T]) CanUndo() (label string, ok bool) { return h.now.label, len(h.past) > 0 }

// CanRedo is described with CanUndo.
func (h History[T]) CanRedo() (label string, ok bool) {
	if len(h.future) == 0 {
		return "", false
	}
	return h.future[len(h.future)-1].label, true
}
