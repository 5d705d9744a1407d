package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"urdir/check"
	"urdir/internal/lang"
	"urdir/internal/store"
	"urdir/internal/workshop"
	"urdir/measure"
	"urdir/schedule/promise"
)

// promising is what was typed.
type promising struct {
	kept
	pieces, members int
	probability     string
}

func newPromiseCommand(a *app) *cobra.Command {
	w := a.words
	var p promising
	c := &cobra.Command{
		Use:                   "promise " + w.T("file-args", nil),
		Short:                 w.T("cli-promise-about", nil),
		Long:                  w.T("cli-promise-about-long", nil),
		Example:               "  urdir promise bufanda.yaml --data taller\n  urdir promise bufanda.yaml --pieces 6 --members 2 --probability 90%",
		DisableFlagsInUseLine: true,
		Args:                  arguments(1, 1),
		RunE:                  func(c *cobra.Command, args []string) error { return a.promise(c.Context(), args[0], p) },
	}
	f := c.Flags()
	f.StringVar(&p.data, "data", "", w.T("cli-promise-flag-data", nil))
	f.StringVar(&p.db, "db", "", w.T("serve-flag-db", nil))
	f.StringVar(&p.at, "at", "", w.T("cli-schedule-flag-at", nil))
	f.IntVar(&p.pieces, "pieces", 0, w.T("cli-promise-flag-pieces", nil))
	f.IntVar(&p.members, "members", 1, w.T("cli-promise-flag-members", nil))
	f.StringVar(&p.probability, "probability", percent(workshop.UsualPromise), w.T("cli-promise-flag-probability", nil))
	return c
}

// promise finds the day by which a cloth can be promised.
func (a *app) promise(ctx context.Context, file string, p promising) error {
	probability, err := measure.ParseShare(p.probability)
	if err != nil {
		return unread("--probability", err)
	}
	text, err := a.read(file)
	if err != nil {
		return err
	}
	cloth, err := a.planText(file, text)
	if err != nil {
		return err
	}
	if p.pieces == 0 {
		p.pieces = cloth.plan.Pieces
	}
	house, owner, done, err := p.house(ctx, a.words)
	if err != nil {
		return err
	}
	defer done()
	answer, err := house.PromiseFor(ctx, owner, workshop.Ask{Lines: []workshop.AskLine{{Text: string(text), Quantity: p.pieces}}, Probability: probability})
	if err != nil {
		return refused(file, err)
	}
	if a.json {
		return a.printJSON(a.answerJSON(answer, cloth))
	}
	a.printAnswer(answer, cloth.plan.Name, p.pieces)
	a.tell(cloth.found)
	return nil
}

// house is the workshop that is asked: the one whose data are named, or else one
// that has nothing to do, with so many members who can do everything, the usual
// week, a pot and a frame.
func (p promising) house(ctx context.Context, words *lang.Words) (*workshop.House, workshop.Person, func(), error) {
	if p.data != "" || p.db != "" {
		house, done, err := p.open(ctx)
		if err != nil {
			return nil, workshop.Person{}, nil, err
		}
		owner, err := house.Owner(ctx)
		if workshop.CodeOf(err) == workshop.NotFound {
			err = mistake("--data", "data-none", check.Args{"folder": p.data})
		}
		return house, owner, done, err
	}
	now, err := p.clock()
	if err != nil {
		return nil, workshop.Person{}, nil, err
	}
	if p.members < 1 || p.members > 100 {
		return nil, workshop.Person{}, nil, mistake("--members", "out-of-range", check.Args{"value": p.members, "low": 1, "high": 100})
	}
	dir, err := os.MkdirTemp("", "urdir-promise-")
	if err != nil {
		return nil, workshop.Person{}, nil, err
	}
	remove := func() { _ = os.RemoveAll(dir) } // nobody needs it any more
	db, err := store.Open(ctx, filepath.Join(dir, "urdir.sqlite"))
	if err != nil {
		remove()
		return nil, workshop.Person{}, nil, err
	}
	done := func() { _ = db.Close(); remove() }
	house := workshop.New(db, now)
	owner, err := idle(ctx, house, words, p.members)
	if err != nil {
		done()
	}
	return house, owner, done, err
}

// usualHours is what a member of an invented workshop offers a week, and usualPot
// what its pot holds in litres; common practice, no source.
const (
	usualHours = 30
	usualPot   = 60
)

// idle makes a workshop that has nothing to do.
func idle(ctx context.Context, house *workshop.House, words *lang.Words, members int) (workshop.Person, error) {
	owner, err := house.SetUp(ctx, words.T("cli-promise-workshop", nil), words.T("cli-promise-workshop", nil), "head", "nobody signs in here", words.Base)
	if err != nil {
		return owner, err
	}
	set, err := house.Settings(ctx, owner)
	if err != nil {
		return owner, err
	}
	set.Value.Pots = []workshop.Pot{{Name: words.T("cli-promise-pot", nil), Litres: usualPot}}
	if _, err = house.SaveSettings(ctx, owner, set); err != nil {
		return owner, err
	}
	for n := range members {
		m := workshop.Member{Name: fmt.Sprint(n + 1), Skills: workshop.Skills, Hours: usualHours}
		if _, err = house.SaveMember(ctx, owner, workshop.Kept[workshop.Member]{Value: m}); err != nil {
			return owner, err
		}
	}
	return owner, nil
}

func (a *app) printAnswer(n workshop.Answer, name string, pieces int) {
	w := a.words
	day := func(d promise.Date) string {
		return w.Date(time.Date(d.Day.Year, d.Day.Month, d.Day.Day, 0, 0, 0, 0, time.UTC))
	}
	fmt.Fprintf(a.out, "%s · %s\n", a.strong(name), w.N("pieces", pieces, nil))
	fmt.Fprintf(a.out, "%s\n\n", w.T("cli-promise-date", check.Args{"date": day(n.Date), "probability": n.Reached}))
	t := table{indent: 2}
	t.add(w.T("cli-promise-likely", nil), day(n.Likely))
	t.add(w.T("cli-promise-sure", nil), day(n.Sure))
	t.add(w.T("cli-promise-planned", nil), w.Date(n.Planned))
	t.print(a.out)
	fmt.Fprintf(a.out, "\n%s\n", w.N("cli-promise-beside", n.Orders, nil))
	list := table{indent: 2}
	for _, k := range n.Tasks {
		list.add(isoDay(k.Start), clockTime(k.Start), w.T("task-"+string(k.Kind), nil), isoDay(k.End), n.Timetable.Names[k.Member])
	}
	fmt.Fprintln(a.out)
	list.print(a.out)
}

// answerJSON is a promise as other programs read it.
type answerJSON struct {
	Version  int           `json:"urdir_promise"`
	Problems []problem     `json:"problems"`
	Day      string        `json:"day"`
	Asked    measure.Ratio `json:"asked_fraction"`
	Reached  measure.Ratio `json:"probability_fraction"`
	Likely   string        `json:"likely_day"` // with one half
	Sure     string        `json:"sure_day"`   // with 95 %
	Planned  string        `json:"planned_day"`
	Orders   int           `json:"open_orders"`
	Tasks    []taskJSON    `json:"tasks"`
}

func (a *app) answerJSON(n workshop.Answer, p planned) answerJSON {
	day := func(d promise.Date) string { return fmt.Sprintf("%04d-%02d-%02d", d.Day.Year, d.Day.Month, d.Day.Day) }
	return answerJSON{1, a.problems(p.found), day(n.Date), n.Asked, n.Reached, day(n.Likely), day(n.Sure), isoDay(n.Planned), n.Orders, tasksJSON(n.Tasks, n.Timetable.Names)}
}
