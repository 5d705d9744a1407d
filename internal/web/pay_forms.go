package web

import (
	"context"
	"errors"
	"math"
	"net/http"
	"strconv"
	"strings"

	"urdir/check"
	"urdir/internal/workshop"
	"urdir/measure"
)

// worked reads a time in whole minutes; a number by itself is hours.
func (f *form) worked(field string) int64 {
	return int64(math.Round(float64(quantity(f, field, " h", measure.ParseMinutes))))
}

func wholeNumber(s string) (int64, bool) {
	n, err := strconv.ParseInt(strings.TrimSpace(s), 10, 64)
	return n, err == nil
}

// onStatement does what a form on a member's statement asks for and shows it again:
// with what was done, or what was wrong.
func (v *visit) onStatement(done string, do func(*form) error) error {
	member := v.r.PathValue("id")
	f, err := v.read()
	if err != nil {
		return err
	}
	if err = do(f); err != nil {
		return v.statementAgain(member, err)
	}
	http.Redirect(v.w, v.r, "/pay/"+member+"?month="+escape(cut(f.text("month")))+"&done="+done, http.StatusSeeOther)
	return nil
}

func payOut(v *visit) error {
	return v.onStatement("paid-out", func(f *form) error {
		due, ok := dueTyped(f.text("due"))
		if !ok {
			f.ps.Wrong("due", "amount-unread", check.Args{"text": f.text("due")})
			return f.err()
		}
		_, err := v.s.house.PayOut(v.r.Context(), v.Person, v.r.PathValue("id"), f.text("month"), due, f.text("box"))
		return said(err, "from", "box")
	})
}

func raisePay(v *visit) error {
	return v.onStatement("pay-raised", func(f *form) error {
		_, err := v.s.house.RaisePay(v.r.Context(), v.Person, v.r.PathValue("id"), f.text("month"))
		return err
	})
}

// currency is the workshop's.
func (v *visit) currency() (string, error) {
	set, err := v.s.house.Settings(v.r.Context(), v.Person)
	return set.Value.Currency, err
}

func tellWork(v *visit) error {
	return v.onStatement("work-told", func(f *form) error {
		code, err := v.currency()
		if err != nil {
			return err
		}
		w := workshop.Work{Member: v.r.PathValue("id"), Kind: f.text("kind"), At: f.text("at"), Name: f.text("name"), Order: f.text("order"),
			Minutes: f.worked("minutes"), Pay: f.money("pay", code)}
		if w.Pay.Minor == 0 {
			w.Pay = workshop.Money{}
		}
		if err = f.err(); err == nil {
			_, err = v.once(f, func(ctx context.Context) (string, error) {
				k, failed := v.s.house.TellWork(ctx, v.Person, w)
				return k.ID, failed
			})
		}
		return err
	})
}

func countWork(v *visit) error {
	return v.onStatement("work-counted", func(f *form) error {
		n := f.worked("counted")
		if f.text("counted") == "" {
			f.ps.Wrong("counted", "field-empty", nil)
		}
		err := f.err()
		if err == nil {
			_, err = v.s.house.CountWork(v.r.Context(), v.Person, v.r.PathValue("work"), f.revision(), n)
		}
		return said(err, "minutes", "counted")
	})
}

func dropWork(v *visit) error {
	return v.onStatement("work-dropped", func(f *form) error {
		return v.s.house.DropWork(v.r.Context(), v.Person, v.r.PathValue("work"), f.revision(), f.text("why"))
	})
}

// said puts what is wrong with one thing beside the field it was typed into.
func said(err error, path, field string) error {
	if e, ok := errors.AsType[*workshop.Error](err); ok {
		for i := range e.Problems {
			if e.Problems[i].Path == path {
				e.Problems[i].Path = field
			}
		}
	}
	return err
}

func giveAdvance(v *visit) error {
	return v.onStatement("advance-given", func(f *form) error {
		code, err := v.currency()
		if err != nil {
			return err
		}
		a := workshop.Advance{Member: v.r.PathValue("id"), Amount: f.money("amount", code), Share: f.per("share"), Note: f.text("note")}
		if err = f.err(); err == nil {
			_, err = v.once(f, func(ctx context.Context) (string, error) {
				k, failed := v.s.house.GiveAdvance(ctx, v.Person, a, f.text("lent-from"))
				return k.ID, failed
			})
		}
		return said(err, "from", "lent-from")
	})
}

func undoAdvance(v *visit) error {
	return v.onStatement("advance-undone", func(f *form) error {
		return v.s.house.UndoAdvance(v.r.Context(), v.Person, v.r.PathValue("advance"), f.revision())
	})
}

func undoPayOut(v *visit) error {
	return v.onStatement("pay-undone", func(f *form) error {
		return v.s.house.UndoPayOut(v.r.Context(), v.Person, v.r.PathValue("payout"), f.revision())
	})
}
