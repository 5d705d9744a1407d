package main

import (
	"context"
	"path/filepath"
	"slices"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"urdir/internal/demo"
	"urdir/internal/store"
	"urdir/internal/workshop"
)

// spoil makes something of the workshop in a folder be in the way of its timetable.
func spoil(ts *testscript.TestScript, _ bool, args []string) {
	at, err := time.Parse(atForm, args[1])
	ts.Check(err)
	ctx := context.Background()
	db, err := store.Open(ctx, filepath.Join(ts.MkAbs(args[0]), "urdir.sqlite"))
	ts.Check(err)
	house := workshop.New(db, demo.NewClock(at).Now)
	owner, err := house.Owner(ctx)
	ts.Check(err)
	change := func(id string, how func(m *workshop.Member)) {
		m, _, failed := house.Member(ctx, owner, id)
		ts.Check(failed)
		how(&m.Value)
		_, failed = house.SaveMember(ctx, owner, m)
		ts.Check(failed)
	}
	all, err := house.Members(ctx, owner, workshop.Page{})
	ts.Check(err)
	switch args[2] {
	case "left": // in mid-warp
		jobs, _, failed := house.Jobs(ctx, owner, workshop.Page{State: "weaving"})
		ts.Check(failed)
		change(jobs.Items[0].Value.Member, func(m *workshop.Member) { m.Name, m.Away = "Gone", true })
	case "nobody": // lays warps
		for _, m := range all.Items {
			change(m.ID, func(m *workshop.Member) {
				m.Skills = slices.DeleteFunc(m.Skills, func(k string) bool { return k == "lay" })
			})
		}
	case "away": // all of them
		for _, m := range all.Items {
			change(m.ID, func(m *workshop.Member) { m.Away = true })
		}
	case "shut":
		set, failed := house.Settings(ctx, owner)
		ts.Check(failed)
		set.Value.Week = map[string]int{}
		_, failed = house.SaveSettings(ctx, owner, set)
		ts.Check(failed)
	default:
		ts.Fatalf("spoil what? %s", args[2])
	}
	ts.Check(db.Close())
}

// filldemo fills a folder with the invented cooperative, as it stands at a time.
func filldemo(ts *testscript.TestScript, _ bool, args []string) {
	at, err := time.Parse(atForm, args[1])
	ts.Check(err)
	dir := ts.MkAbs(args[0])
	_, clean, err := serving{data: dir}.database()
	ts.Check(err)
	defer clean()
	ctx := context.Background()
	db, err := store.Open(ctx, filepath.Join(dir, "urdir.sqlite"))
	ts.Check(err)
	clock := demo.NewClock(at)
	_, err = demo.Fill(ctx, workshop.New(db, clock.Now), clock, "es")
	ts.Check(err)
	ts.Check(db.Close())
}
