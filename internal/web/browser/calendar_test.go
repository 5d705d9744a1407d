package browser_test

import (
	"net/url"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"urdir/internal/workshop"
)

// TestCalendar_moves takes a step to other hands: with the pointer, with the keys,
// and by the form, which is what a telephone and a browser without scripts have.
// What follows is shown before anything moves.
func TestCalendar_moves(t *testing.T) {
	t.Run("with the pointer", func(t *testing.T) {
		t.Parallel()
		m := newMove(t, desk)
		m.do("a screen that has all of it", chromedp.EmulateViewport(m.wide, 4000))
		at := eval[struct{ From, To spot }](m.tab, "a turn", `(() => {
			const middle = (e) => { const r = e.getBoundingClientRect(); return {X: r.x + r.width / 2, Y: r.y + r.height / 2}; };
			for (const turn of document.querySelectorAll("td[data-member] a.turn[data-may]")) {
				const other = turn.dataset.may.split(" ").find(id => id !== turn.closest("td").dataset.member);
				const to = [...document.querySelectorAll("td[data-member='" + other + "']:not([data-closed])")].at(-1);
				if (to) return {From: middle(turn.querySelector("span")), To: middle(to)};
			}
			throw "no turn could be another's";
		})()`)
		m.dragTo(at.From, at.To)
		m.follows(t)
	})
	t.Run("with the keys", func(t *testing.T) {
		t.Parallel()
		m := newMove(t, desk)
		eval[bool](m.tab, "a turn that the row below may have", `(() => {
			for (const turn of document.querySelectorAll("td[data-member] a.turn[data-may]")) {
				const next = turn.closest("tr").nextElementSibling?.querySelector("td[data-day='" + turn.closest("td").dataset.day + "']:not([data-closed])");
				if (next && turn.dataset.may.split(" ").includes(next.dataset.member)) { turn.focus(); return true; }
			}
			throw "none";
		})()`)
		m.do("take it up and put it back", chromedp.KeyEvent(" "), chromedp.KeyEvent(kb.Escape))
		m.saying(t, "timetable-put-back")
		m.do("take it up", chromedp.KeyEvent(" "))
		m.saying(t, "timetable-picked")
		m.do("down", chromedp.KeyEvent(kb.ArrowDown))
		m.saying(t, "timetable-over")
		m.leave("lay it down", chromedp.KeyEvent(kb.Enter))
		m.follows(t)
	})
	t.Run("without scripts", func(t *testing.T) {
		t.Parallel()
		m := newMove(t, screen{wide: 390, lang: "es"})
		tt, err := m.house.Timetable(t.Context(), m.head, workshop.TimetableSchedules)
		if err != nil {
			t.Fatal(err)
		}
		for _, k := range tt.Tasks {
			for _, other := range tt.MayDo(k) {
				day := k.Start.Format(time.DateOnly)
				if _, hers := tt.HourFor(other, day, k.Start); other == k.Member || !hers {
					continue
				}
				m.visit("/calendar/step?" + url.Values{"task": {k.Key}}.Encode())
				m.choose(m.T("col-who"), tt.Names[other])
				eval[string](m.tab, "any hour of hers", `document.getElementById("f-hour").value = ""`)
				m.press(m.T("timetable-try"))
				m.follows(t)
				return
			}
		}
		t.Fatal("nothing could be moved")
	})
}

// move is a visitor who moves a step of the calendar.
type move struct {
	visitor
}

func newMove(t *testing.T, s screen) *move {
	w := newWorld(t)
	m := &move{visitor{world: w, screen: s, tab: w.open(t, s)}}
	m.signIn(workshop.Head)
	m.visit("/calendar")
	return m
}

// dragTo drags with the mouse. The browser gives the drag to the test, since there
// is no screen on which to drag.
func (m *move) dragTo(from, to spot) {
	var held *input.DragData
	var once sync.Once
	taken := make(chan struct{})
	m.must("listen", chromedp.Listen(m.ctx, func(ev any) {
		if d, ok := ev.(*input.EventDragIntercepted); ok {
			once.Do(func() { held = d.Data; close(taken) })
		}
	}))
	mouse := func(kind input.DispatchMouseEventType, x, y float64) chromedp.Action[chromedp.Void] {
		return call(input.DispatchMouseEvent, input.DispatchMouseEventParams{Type: kind, X: x, Y: y, Button: input.MouseButtonLeft, Buttons: 1, ClickCount: 1})
	}
	m.do("take it up", call(input.SetInterceptDrags, input.SetInterceptDragsParams{Enabled: true}),
		mouse(input.DispatchMouseEventTypeMousePressed, from.X, from.Y), mouse(input.DispatchMouseEventTypeMouseMoved, from.X+8, from.Y+8),
		mouse(input.DispatchMouseEventTypeMouseMoved, to.X, to.Y))
	select {
	case <-taken:
	case <-m.ctx.Done():
		m.tab.t.Fatal("the turn could not be dragged")
	}
	over := func(kind input.DispatchDragEventType) chromedp.Action[chromedp.Void] {
		return call(input.DispatchDragEvent, input.DispatchDragEventParams{Type: kind, X: to.X, Y: to.Y, Data: held})
	}
	m.do("bring it there", over(input.DispatchDragEventTypeDragEnter), over(input.DispatchDragEventTypeDragOver))
	if n := eval[int](m.tab, "places under it", `document.querySelectorAll("td.may.over").length`); n != 1 {
		m.tab.t.Fatalf("%d places say that it would be laid there, want 1", n)
	}
	m.leave("lay it down", over(input.DispatchDragEventTypeDrop))
}

// saying checks what the page says to who moves with the keys.
func (m *move) saying(t *testing.T, key string) {
	t.Helper()
	if got := eval[string](m.tab, "said", `document.getElementById("moving").textContent`); !strings.HasPrefix(got, m.T(key)) {
		t.Errorf("it says %q, want %q", got, m.T(key))
	}
}

// follows reads what would follow, moves, and takes it back. Who relies on the step
// has to be asked first.
func (m *move) follows(t *testing.T) {
	t.Helper()
	m.says(t, m.T("timetable-follows"))
	m.sound(t)
	if strings.Contains(m.text(), m.T("timetable-asked")) {
		m.heard.ask(m.tab.url + "/calendar/move")
		s := m.find("main button", m.T("timetable-move-it"), false)
		if status := m.leave("move it unasked", chromedp.MouseClickXY(s.X, s.Y)); status != 422 {
			t.Fatalf("moved unasked: status %d, want 422", status)
		}
		m.says(t, m.T("move-unasked.mend"))
		s = m.find("main label", m.T("timetable-asked"), false)
		m.do("tick that they agree", chromedp.MouseClickXY(s.X, s.Y))
	}
	m.press(m.T("timetable-move-it"))
	m.says(t, m.T("done-timetable-moved"))
	said, err := m.house.Retellings(t.Context(), m.head, workshop.Page{Limit: 1})
	if err != nil || len(said.Items) != 1 || said.Items[0].Value.Move == nil || said.Items[0].Value.Undone {
		t.Fatalf("kept: %+v, %v; want a move", said.Items, err)
	}
	m.press(m.T("timetable-take-back"))
	m.says(t, m.T("done-timetable-untold"))
	if said, err = m.house.Retellings(t.Context(), m.head, workshop.Page{Limit: 1}); err != nil || !said.Items[0].Value.Undone {
		t.Errorf("kept: %+v, %v; want it taken back", said.Items, err)
	}
}
