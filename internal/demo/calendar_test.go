package demo_test

import (
	"slices"
	"testing"

	"urdir/internal/workshop"
)

// The calendar page is not empty: every open order has its work planned, a class is
// prepared, promises were given and some are over, and one record is asked about.
func (w world) testCalendar(t *testing.T) {
	tt, err := w.house.Timetable(t.Context(), w.head, 200)
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range tt.Left {
		t.Errorf("order %d is left out: %v", l.Number, l.Problems)
	}
	if tt.Problems.Failed() {
		t.Error(tt.Problems)
	}
	kinds := map[workshop.TaskKind]int{}
	for _, k := range tt.Tasks {
		kinds[k.Kind]++
	}
	for _, k := range []workshop.TaskKind{workshop.YarnTask, workshop.BathTask, workshop.WarpTask, workshop.WeaveTask, workshop.SewTask, workshop.ClassTask, workshop.DeliverTask} {
		if kinds[k] == 0 {
			t.Errorf("no task %s", k)
		}
	}
	if len(tt.Shares) < 10 || tt.Fairness < 0.3 {
		t.Errorf("%d share work, fairness %v", len(tt.Shares), tt.Fairness)
	}
	kept, err := w.house.PromisesKept(t.Context(), w.head)
	if err != nil || kept.All.Promises < 8 || kept.All.Kept == kept.All.Promises {
		t.Errorf("promises: %+v, %v", kept.All, err)
	}
	asked, err := w.house.Questions(t.Context(), w.head)
	if err != nil || len(asked) != 1 {
		t.Errorf("asked about: %+v, %v", asked, err)
	}
	d, err := w.house.Today(t.Context(), w.head)
	if err != nil || !slices.ContainsFunc(d.Errands, func(e workshop.Errand) bool { return e.Kind == "errand-ask-record" }) {
		t.Errorf("today's errands: %+v, %v", d.Errands, err)
	}
}
