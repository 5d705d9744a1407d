package workshop

import (
	"fmt"
	"strings"
	"time"
)

// Every kind of record, with what lists and searches find it by.
var (
	customers = kind[Customer]{"customer", func(_ string, v Customer) index {
		return index{sort: v.Name, words: []string{v.Name, v.Contact, v.Note}}
	}}
	cloths = kind[Cloth]{"cloth", func(_ string, v Cloth) index {
		return index{sort: v.Name, state: v.Kind, words: []string{v.Name, v.Note, v.Kind}}
	}}
	versions = kind[Version]{"version", func(_ string, v Version) index {
		return index{parent: v.Cloth, sort: fmt.Sprintf("%06d", v.N)}
	}}
	drafts = kind[Draft]{"draft", func(_ string, v Draft) index {
		return index{parent: v.Cloth, sort: v.Since.UTC().Format(time.RFC3339Nano)}
	}}
	figures = kind[Figure]{"figure", func(_ string, v Figure) index {
		return index{sort: v.Name, state: v.Sale, words: []string{v.Name, v.Origin, v.Meaning, v.Owner, v.Ask}}
	}}
	lots = kind[Lot]{"lot", func(_ string, v Lot) index {
		state := "ready"
		if v.Waiting {
			state = "waiting"
		}
		return index{sort: v.Label + " " + v.Letter, state: state, words: []string{v.Label, v.Fibre, v.Count, v.Note, v.Dyed}}
	}}
	members = kind[Member]{"member", func(_ string, v Member) index {
		return index{sort: v.Name, words: append([]string{v.Name, v.Reach, v.Note}, v.Skills...)}
	}}
	orders = kind[Order]{"order", func(_ string, v Order) index {
		return index{parent: v.Customer, sort: numberSort(v.Number), state: v.State(), words: []string{fmt.Sprint(v.Number), v.Wishes, v.Due}}
	}}
	frozens = kind[Frozen]{"frozen", func(_ string, v Frozen) index {
		return index{parent: v.Order, sort: v.Line}
	}}
	jobs = kind[Job]{"job", func(_ string, v Job) index {
		return index{parent: v.Order, sort: numberSort(v.Number) + v.Line + v.Warp + fmt.Sprintf("%04d", v.Laying),
			state: string(v.State()) + v.holder(), words: []string{fmt.Sprint(v.Number), v.Cloth, v.Warp}}
	}}
	pieces = kind[Piece]{"piece", func(_ string, v Piece) index {
		return index{parent: v.Order, sort: numberSort(v.Number), state: string(v.State()),
			words: []string{fmt.Sprint(v.Number), fmt.Sprint(v.OrderNumber), v.Cloth}}
	}}
	ownRecipes = kind[RecipeText]{"recipe", func(id string, v RecipeText) index {
		return index{sort: v.Name, words: []string{id, v.Name}}
	}}
	supplies = kind[Supply]{"supply", func(_ string, v Supply) index {
		return index{parent: v.What, sort: v.What + " " + v.Day, words: []string{v.What, v.Name, v.Gathered, v.By, v.Note}}
	}}
	purchases = kind[Purchase]{"purchase", func(_ string, v Purchase) index {
		return index{parent: v.Supply, sort: v.Day, words: []string{v.From, v.Note}}
	}}
	dyeings = kind[Dyeing]{"dyeing", func(_ string, v Dyeing) index {
		return index{parent: v.Recipe, sort: numberSort(v.Number), state: string(v.State()), words: []string{fmt.Sprint(v.Number), v.Label, v.Recipe}}
	}}
	samples = kind[Sample]{"sample", func(_ string, v Sample) index {
		return index{parent: v.Recipe, sort: fmt.Sprintf("%012.6f", float64(v.Strength))}
	}}
	trials = kind[Trial]{"trial", func(_ string, v Trial) index {
		return index{parent: v.Lot, sort: v.Day, state: v.Kind}
	}}
	tolds = kind[Told]{"told", func(_ string, v Told) index {
		return index{parent: v.Of, state: v.until()}
	}}
	retellings = kind[Retelling]{"retelling", func(_ string, v Retelling) index {
		return index{sort: v.At.UTC().Format(time.RFC3339Nano)}
	}}
	promises = kind[Promise]{"promise", func(_ string, v Promise) index {
		return index{parent: v.Order, sort: v.Given.UTC().Format(time.RFC3339Nano)}
	}}
	workLines = kind[Work]{"work", func(_ string, v Work) index {
		return index{parent: v.Order, sort: v.At, state: v.Member + ":" + v.month(), words: []string{v.Name, v.Kind, v.At}}
	}}
	advances = kind[Advance]{"advance", func(_ string, v Advance) index {
		return index{parent: v.Member, sort: v.At}
	}}
	payouts = kind[Payout]{"payout", func(_ string, v Payout) index {
		return index{parent: v.Member, sort: v.Month + v.Number, words: []string{v.Number, v.Month}}
	}}
	quotes = kind[Quote]{"quote", func(_ string, v Quote) index {
		return index{parent: v.Order, sort: v.Number, state: v.state(), words: []string{v.Number, v.Customer, v.Product, fmt.Sprint(v.OrderNo)}}
	}}
	papers = kind[Paper]{"paper", func(_ string, v Paper) index {
		return index{parent: v.Order, sort: v.On + v.Number, state: string(v.Kind), words: []string{v.Number, v.Customer, v.Note, fmt.Sprint(v.OrderNo)}}
	}}
	links = kind[GuestLink]{"link", func(_ string, v GuestLink) index {
		return index{parent: v.Order, sort: v.Made, state: v.Ended}
	}}
	wares = kind[Ware]{"ware", func(_ string, v Ware) index {
		return index{parent: v.List, sort: v.Name, words: []string{v.Name, v.List, v.Note}}
	}}
	partners = kind[Partner]{"partner", func(_ string, v Partner) index {
		return index{sort: v.Name, state: v.Other, parent: v.Code}
	}}
	yarnOffers = kind[YarnOffer]{"yarn-offer", func(_ string, v YarnOffer) index {
		return index{parent: v.Lot, sort: v.Day}
	}}
	hooks = kind[Hook]{"hook", func(_ string, v Hook) index {
		return index{sort: v.Made, state: string(v.State)}
	}}
	spoken = kind[Saying]{"saying", func(_ string, v Saying) index {
		return index{parent: v.Member, sort: v.At.UTC().Format(time.RFC3339Nano), state: v.state()}
	}}
	places   = kind[Place]{"place", func(_ string, v Place) index { return index{parent: v.Job} }}
	settings = kind[Settings]{"settings", func(string, Settings) index { return index{} }}
)

// numberSort makes numbers sort as numbers.
func numberSort(n int64) string { return fmt.Sprintf("%012d", n) }

// settingsID is the one record of settings of a workshop.
const settingsID = "workshop"

// State is what lists of orders filter by.
func (o Order) State() string {
	switch {
	case o.Cancelled != "":
		return "cancelled"
	case o.Confirmed == "":
		return "draft"
	case o.Done != "":
		return "done"
	}
	return "open"
}

// holder lets a list of jobs be narrowed to one member's.
func (j Job) holder() string {
	if j.Member == "" {
		return ""
	}
	return ":" + j.Member
}

// versionID names a version of a cloth.
func versionID(cloth string, n int) string { return fmt.Sprintf("%s.%d", cloth, n) }

// draftID names the draft someone has of a cloth.
func draftID(cloth, account string) string { return cloth + "." + account }

func trim(ss ...*string) {
	for _, s := range ss {
		*s = strings.TrimSpace(*s)
	}
}
