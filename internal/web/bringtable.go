package web

import (
	"encoding/base64"
	"errors"
	"net/http"

	"urdir/internal/tables"
	"urdir/internal/workshop"
)

// tableRoom is what may be sent to an address that takes a table: the table, or
// what the page shown before sends back of it, and the fields beside it.
const tableRoom = tables.MaxBytes/3*4 + maxBody

// importKinds is what each address brings in, and where it is seen then.
var importKinds = map[string]struct{ kind, list string }{
	"/yarn/bring":      {workshop.ImportYarn, "/yarn"},
	"/customers/bring": {workshop.ImportCustomers, "/customers"},
	"/prices/bring":    {workshop.ImportPrices, "/keeping"},
}

// importView is a table on its way in.
type importView struct {
	workshop.Preview
	Body  string // the table, to be sent back as it came
	Again bool   // something was done in the workshop since it was last looked at
}

// most is how many rows of each state a page shows.
const most = 200

// Of is the rows of a state, as many as a page shows.
func (p importView) Of(state string) (out []workshop.ImportRow) {
	for _, r := range p.Rows {
		if string(r.State) == state && len(out) < most {
			out = append(out, r)
		}
	}
	return out
}

// Rest is how many rows of so many are not shown.
func (importView) Rest(n int) int { return max(0, n-most) }

func (v *visit) importTitle() string {
	return v.T("bring-" + importKinds[v.r.URL.Path].kind)
}

func bringTablePage(v *visit) error {
	return v.page("bring-table", v.importTitle(), importView{Preview: workshop.Preview{Kind: importKinds[v.r.URL.Path].kind}})
}

// bringTable shows what a table would do; when that was seen, it does it.
func bringTable(v *visit) error {
	is := importKinds[v.r.URL.Path]
	view := importView{Preview: workshop.Preview{Kind: is.kind}}
	again := func(err error) error { return v.again(err, "bring-table", v.importTitle(), view) }
	f, err := v.read()
	if _, large := errors.AsType[*http.MaxBytesError](err); large {
		f = &form{v: v}
		f.ps.Wrong("file", "file-too-big", map[string]any{"kilobytes": int(v.r.ContentLength / 1024), "most": tables.MaxBytes / 1024})
		err = f.err()
	}
	if err != nil {
		return again(err)
	}
	mark := f.text("mark")
	var body []byte
	if mark == "" {
		body, err = v.tableOf(f)
	} else if body, err = base64.RawURLEncoding.DecodeString(f.text("body")); err != nil {
		err = &workshop.Error{Code: workshop.Invalid}
	}
	if err != nil {
		return again(err)
	}
	view.Body = base64.RawURLEncoding.EncodeToString(body)
	if mark == "" {
		if view.Preview, err = v.s.house.PreviewImport(v.r.Context(), v.Person, is.kind, body); err != nil {
			view.Kind = is.kind
			return again(inFile(err))
		}
		return v.page("bring-table", v.importTitle(), view)
	}
	_, err = v.s.house.ApplyImport(v.r.Context(), v.Person, is.kind, body, mark)
	if workshop.CodeOf(err) == workshop.Conflict {
		e, _ := errors.AsType[*workshop.Error](err) // its code says that it is one
		if now, ok := e.Now.(workshop.Preview); ok {
			view.Preview, view.Again = now, true
			v.Title, v.Data = v.importTitle(), view
			return v.s.render(v, http.StatusConflict, "bring-table")
		}
	}
	if err != nil {
		return again(inFile(err))
	}
	return v.to(is.list, "brought")
}

// inFile puts what is wrong with a table as a whole beside its field.
func inFile(err error) error {
	if e, ok := errors.AsType[*workshop.Error](err); ok {
		for i, p := range e.Problems {
			if p.Path == "" {
				e.Problems[i].Path = "file"
			}
		}
	}
	return err
}
