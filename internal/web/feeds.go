package web

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"net/http"
	"strings"
	"time"

	"urdir/internal/feed"
	"urdir/internal/lang"
	"urdir/internal/workshop"
)

// feedsView is the private links to calendars that a person has.
type feedsView struct {
	workshop.Feeds
	Link   string // of a new one, shown once
	Whole  bool   // which it is of
	QR     string
	QRSize int
}

func feedsPage(v *visit) error {
	f, err := v.s.house.Feeds(v.r.Context(), v.Person)
	if err != nil {
		return err
	}
	return v.page("feeds", v.T("feeds"), feedsView{Feeds: f})
}

// makeFeed shows a new link once.
func makeFeed(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	view := feedsView{Whole: f.yes("whole")}
	key, err := v.s.house.MakeFeed(v.r.Context(), v.Person, view.Whole)
	if err != nil {
		return err
	}
	if view.Feeds, err = v.s.house.Feeds(v.r.Context(), v.Person); err != nil {
		return err
	}
	view.Link = v.feedAddress(key)
	view.QR, view.QRSize = qrPath(view.Link)
	return v.page("feeds", v.T("feeds"), view)
}

// feedAddress is where the calendar behind a key is.
func (v *visit) feedAddress(key string) string { return v.address() + "/feed/" + key + ".ics" }

func dropFeed(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	if err := v.s.house.DropFeed(v.r.Context(), v.Person, f.yes("whole")); err != nil {
		return err
	}
	return v.to("/me/feeds", "feed-dropped")
}

// feedFor is how long a calendar program may keep what it got, in seconds.
const feedFor = "300"

// feedFile is the calendar behind a private link: the key in it is all that is
// asked for. Only keys that are none are counted, since all members of a workshop
// may come from one address.
func feedFile(v *visit) error {
	at := "feed from " + from(v.r)
	tried, err := v.s.house.Tried(v.r.Context(), at)
	if err != nil {
		return err
	}
	if tried {
		v.w.Header().Set("Retry-After", "60")
		http.Error(v.w, v.T("feeds-slow"), http.StatusTooManyRequests)
		return nil
	}
	key, ok := strings.CutSuffix(v.r.PathValue("key"), ".ics")
	f, err := v.s.house.FeedBy(v.r.Context(), key)
	if err != nil || !ok {
		if _, failed := v.s.house.Try(v.r.Context(), at); failed != nil {
			return failed
		}
		if err == nil {
			err = &workshop.Error{Code: workshop.NotFound}
		}
		return err
	}
	v.speak(f.Person)
	if f.Person.Lang == "" {
		if v.Words, err = lang.For("en"); err != nil {
			return err
		}
	}
	var b bytes.Buffer
	if err := feed.Write(&b, f, v.Words); err != nil {
		return err
	}
	sum := sha256.Sum256(b.Bytes())
	h := v.w.Header()
	h.Set("Content-Type", "text/calendar; charset=utf-8")
	h.Set("Content-Disposition", `inline; filename="urdir.ics"`)
	h.Set("Cache-Control", "private, max-age="+feedFor)
	h.Set("ETag", `"`+hex.EncodeToString(sum[:12])+`"`)
	http.ServeContent(v.w, v.r, "", time.Time{}, bytes.NewReader(b.Bytes()))
	return nil
}
