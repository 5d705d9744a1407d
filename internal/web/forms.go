package web

import (
	"errors"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"unicode/utf8"

	"urdir/check"
	"urdir/internal/workshop"
	"urdir/measure"
	"urdir/price"
)

// form reads what was typed and gathers what cannot be read.
type form struct {
	v  *visit
	ps check.Problems
}

// read parses the request's form.
func (v *visit) read() (*form, error) {
	var err error
	if strings.HasPrefix(v.r.Header.Get("Content-Type"), "multipart/") {
		err = v.r.ParseMultipartForm(maxBody)
	} else {
		err = v.r.ParseForm()
	}
	var tooBig *http.MaxBytesError
	if err != nil && !errors.As(err, &tooBig) {
		return nil, &workshop.Error{Code: workshop.Invalid, Err: err}
	}
	return &form{v: v}, notText(v.r.PostForm, err)
}

// asked reads a form that only asks: what was typed stands in the address.
func (v *visit) asked() *form {
	v.r.PostForm = v.r.URL.Query()
	v.Form = v.r.PostForm
	return &form{v: v}
}

// notText refuses what no page sends and databases do not take as text.
func notText(sent url.Values, err error) error {
	for field, values := range sent {
		if s := field + strings.Join(values, ""); err == nil && !plain(s) {
			err = &workshop.Error{Code: workshop.Invalid}
		}
	}
	return err
}

// plain says whether s is text: UTF-8 without the sign of number 0.
func plain(s string) bool { return utf8.ValidString(s) && !strings.ContainsRune(s, 0) }

func (f *form) text(field string) string { return f.v.r.PostForm.Get(field) }

func (f *form) texts(field string) []string { return f.v.r.PostForm[field] }

func (f *form) yes(field string) bool { return f.text(field) != "" }

// whole reads a whole number; empty is 0.
func (f *form) whole(field string) int {
	s := strings.TrimSpace(f.text(field))
	if s == "" {
		return 0
	}
	return f.wholeOf(field, s)
}

// wholeOf reads a whole number that was typed, or asked for in an address.
func (f *form) wholeOf(field, s string) int {
	n, err := strconv.Atoi(s)
	if err != nil {
		f.ps.Wrong(field, "number-not-whole", check.Args{"text": s})
	}
	return n
}

// revision reads the revision a form was made for.
func (f *form) revision() int64 {
	n, err := strconv.ParseInt(f.text("revision"), 10, 64)
	if err != nil {
		return -1 // never a revision: the change will be refused
	}
	return n
}

// grams reads a mass; a number by itself is grams.
func (f *form) grams(field string) measure.Gram {
	return quantity(f, field, " g", measure.ParseMass)
}

// cm reads a length; a number by itself is centimetres.
func (f *form) cm(field string) measure.CM {
	return quantity(f, field, " cm", measure.ParseLength)
}

// percent reads a share; a number by itself is per cent.
func (f *form) percent(field string) measure.Ratio {
	return quantity(f, field, " %", measure.ParseShare)
}

// quantity reads a quantity; empty is zero, and a number without a unit has the
// one that stands beside the field.
func quantity[T ~float64](f *form, field, unit string, parse func(string) (T, error)) T {
	s := strings.TrimSpace(f.text(field))
	if s == "" {
		return 0
	}
	if strings.Trim(s, "0123456789.,' -") == "" {
		s += unit
	}
	q, err := parse(s)
	if pe, ok := errors.AsType[*measure.ParseError](err); ok {
		f.ps.Wrong(field, pe.Code, check.Args{"text": pe.Text, "unit": pe.Unit, "want": pe.Want})
	}
	return q
}

// money reads an amount in the workshop's currency, to its smallest unit.
func (f *form) money(field, code string) workshop.Money {
	s := strings.TrimSpace(f.text(field))
	if s == "" {
		return workshop.Money{}
	}
	minor, ok := readMoney(s, decimals(code))
	if !ok {
		f.ps.Wrong(field, "amount-unread", check.Args{"text": s})
	}
	return workshop.Money{Minor: minor, Currency: code}
}

// decimals is how many a currency has (ISO 4217).
func decimals(code string) int {
	n, known := price.Digits(code)
	if !known {
		return 2
	}
	return n
}

// readMoney reads digits with at most one mark for decimals. Marks of thousands
// are refused: 1.234 may mean two amounts.
func readMoney(s string, decimals int) (int64, bool) {
	s = strings.ReplaceAll(s, ",", ".")
	whole, part, _ := strings.Cut(s, ".")
	if len(part) > decimals || strings.Contains(part, ".") || whole == "" {
		return 0, false
	}
	n, err := strconv.ParseUint(whole+part+strings.Repeat("0", decimals-len(part)), 10, 50)
	return int64(n), err == nil
}

// Money writes an amount.
func (v *visit) Money(m workshop.Money) string {
	if m.Currency == "" {
		return ""
	}
	return v.Words.S(m)
}

// Amount is an amount as a field shows it.
func (v *visit) Amount(m workshop.Money) string {
	if m.Minor == 0 {
		return ""
	}
	d := decimals(m.Currency)
	s := strconv.FormatInt(m.Minor, 10)
	for len(s) <= d {
		s = "0" + s
	}
	if d == 0 {
		return s
	}
	return s[:len(s)-d] + "." + s[len(s)-d:]
}

// err is what could not be read, as the workshop says it, or nil.
func (f *form) err() error {
	if !f.ps.Failed() {
		return nil
	}
	return &workshop.Error{Code: workshop.Invalid, Problems: f.ps}
}
