package workshop

import (
	"encoding/binary"
	"fmt"
	"hash/fnv"
)

// mark is made of what a plan is made from.
func (w *works) mark() string {
	h := fnv.New64a()
	say := func(words ...string) {
		for _, s := range words {
			_, _ = h.Write([]byte(s)) // never fails, as hash.Hash says
			_, _ = h.Write([]byte{0})
		}
	}
	count := func(ns ...int64) {
		var b [8]byte
		for _, n := range ns {
			binary.LittleEndian.PutUint64(b[:], uint64(n))
			_, _ = h.Write(b[:])
		}
	}
	p := &w.problem
	count(p.Begin.Unix(), int64(p.Days))
	say(p.Begin.Location().String())
	for _, c := range p.Calendars {
		say(fmt.Sprint(c))
	}
	for _, q := range p.People {
		say(q.Key, fmt.Sprint(q.Skills))
		count(int64(q.Wants), int64(q.Given))
	}
	for _, q := range p.Places {
		say(q.Key)
		count(int64(q.Capacity))
	}
	for _, o := range p.Orders {
		say(o.Key)
		count(o.Due.Unix(), o.From.Unix(), int64(o.Weight))
	}
	for i := range p.Steps {
		s := &p.Steps[i]
		say(s.Key, s.Skill)
		count(int64(s.Work), int64(s.Stand), s.At.Unix(), int64(len(s.After)))
		for _, a := range s.After {
			say(a.Step)
			count(int64(a.Max))
		}
		for _, who := range s.Who {
			say(who.Person)
			count(int64(who.Work))
		}
		if s.Told != nil {
			say(s.Told.Person)
			count(s.Told.Start.Unix())
		}
	}
	return fmt.Sprintf("%016x", h.Sum64())
}
