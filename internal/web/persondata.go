package web

import (
	"archive/zip"
	"bytes"
	"strings"

	"urdir/check"
	"urdir/internal/workshop"
)

// personView is one person whose data are handed over or erased.
type personView struct {
	Kind, ID string
	Name     string
	Revision int64
	File     workshop.PersonFile
	Sure     bool // to erase her was asked for once
	Erased   *workshop.Erased
}

// Page is the address of her page.
func (p personView) Page() string { return "/" + p.Kind + "s/" + p.ID }

// personView reads who it is; the address says whether a customer or a member.
func (v *visit) personView() (view personView, err error) {
	view.ID, view.Kind = v.r.PathValue("id"), workshop.CustomerPerson
	if strings.HasPrefix(v.r.URL.Path, "/members/") {
		view.Kind = workshop.MemberPerson
		m, _, failed := v.s.house.Member(v.r.Context(), v.Person, view.ID)
		view.Name, view.Revision = m.Value.Name, m.Revision
		return view, failed
	}
	c, _, err := v.s.house.Customer(v.r.Context(), v.Person, view.ID)
	view.Name, view.Revision = c.Value.Name, c.Revision
	return view, err
}

func personPage(v *visit) error {
	view, err := v.personView()
	if err == nil {
		view.File, err = v.s.house.PersonData(v.r.Context(), v.Person, view.Kind, view.ID)
	}
	if err != nil {
		return err
	}
	return v.page("person", v.T("person-data")+": "+view.Name, view)
}

// Many is how many things of a kind are kept of her.
func (p personView) Many(key string) (n int) {
	for _, s := range p.File.Sections {
		if s.Key == key {
			n++
		}
	}
	return n
}

// personFile hands her data over: to be read, and for other programs.
func personFile(v *visit) error {
	view, err := v.personView()
	if err == nil {
		view.File, err = v.s.house.PersonData(v.r.Context(), v.Person, view.Kind, view.ID)
	}
	if err != nil {
		return err
	}
	body, err := view.File.JSON()
	if err != nil {
		return err
	}
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, f := range []struct {
		name string
		body []byte
	}{{"data.json", body}, {"data.txt", []byte(view.File.Text(func(key string) string { return v.T(key) }))}} {
		w, err := z.Create(f.name)
		if err == nil {
			_, err = w.Write(f.body)
		}
		if err != nil {
			return err
		}
	}
	if err := z.Close(); err != nil {
		return err
	}
	v.attach("application/zip", fileName(view.Name)+"-data.zip")
	_, _ = b.WriteTo(v.w) // the browser went away
	return nil
}

// erasePerson asks once more, by her name, and then forgets her.
func erasePerson(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	view, err := v.personView()
	if err == nil {
		view.File, err = v.s.house.PersonData(v.r.Context(), v.Person, view.Kind, view.ID)
	}
	if err != nil {
		return err
	}
	title := v.T("person-data") + ": " + view.Name
	view.Sure = true
	if f.text("sure") == "" {
		return v.page("person", title, view)
	}
	if workshop.Fold(strings.TrimSpace(f.text("sure"))) != workshop.Fold(view.Name) {
		f.ps.Wrong("sure", "erase-name", check.Args{"name": view.Name})
		return v.again(f.err(), "person", title, view)
	}
	done, err := v.s.house.ErasePerson(v.r.Context(), v.Person, view.Kind, view.ID, f.revision())
	if err != nil {
		return v.again(err, "person", title, view)
	}
	view.Erased, view.Name = &done, done.Name
	return v.page("person", v.T("person-erased"), view)
}
