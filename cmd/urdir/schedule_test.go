package main

import (
	"context"
	"path/filepath"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"urdir/internal/demo"
	"urdir/internal/store"
	"urdir/internal/workshop"
)

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
