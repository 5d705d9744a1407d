package workshop

import (
	"context"
	"errors"
	"io"
	"slices"

	"urdir/check"
	"urdir/internal/store"
	"urdir/price/books"
)

// agree holds the account of materials against the lots: what is worth something
// must be there, and nothing may be booked for no lot.
func agree(tx *store.Tx, currency string) (check.Problems, error) {
	all, err := tx.Sums("", books.MaterialStock, "", "", "")
	if err != nil {
		return nil, err
	}
	booked := books.Balance{Account: books.MaterialStock, Currency: currency}
	for _, s := range all {
		if s.Currency == currency {
			booked.Debit, booked.Credit = s.Debit, s.Credit
		}
	}
	of, err := tx.Sums(lotTag, books.MaterialStock, "", "", "")
	if err != nil {
		return nil, err
	}
	counted := Money{Currency: currency}
	for _, s := range of {
		if s.Currency != currency || s.Debit == s.Credit {
			continue
		}
		_, err := supplies.get(tx, s.Value)
		if err != nil && !missing(err) {
			return nil, err
		}
		mg, massErr := massOf(tx, s.Value, err == nil)
		if massErr != nil {
			return nil, massErr
		}
		if mg > 0 {
			counted.Minor += s.Debit - s.Credit
		}
	}
	return books.Agree(booked, counted), nil
}

// AuditBooks goes through all entries and papers, and holds them against what
// bookkeeping asks for and against the books of material.
func (h *House) AuditBooks(ctx context.Context, p Person) (ps check.Problems, _ error) {
	err := h.view(ctx, p, "AuditBooks", func(tx *store.Tx) (err error) {
		ps, err = auditBooks(tx)
		return err
	})
	return ps, err
}

func auditBooks(tx *store.Tx) (check.Problems, error) {
	k, err := readSettings(tx)
	if err != nil {
		return nil, err
	}
	var broken error
	ps := books.Audit(allEntries(tx, &broken), k.Value.Money.Chart())
	given, err := tx.Numbers()
	if err = errors.Join(err, broken); err != nil {
		return nil, err
	}
	numbers := make([]books.Number, len(given))
	for i, n := range given {
		numbers[i] = books.Number{Series: n.Series, Year: n.Year, N: n.N}
	}
	ps = append(ps, books.CheckNumbers(numbers)...)
	more, err := agree(tx, k.Value.Currency)
	return append(ps, more...), err
}

// ExportBooks writes the whole journal: as "csv", or as "text" that general
// accounting programs read.
func (h *House) ExportBooks(ctx context.Context, p Person, w io.Writer, format string) error {
	return h.view(ctx, p, "ExportBooks", func(tx *store.Tx) error {
		var ps check.Problems
		if choice(&ps, "format", format, "csv", "text"); ps.Failed() {
			return invalid(ps)
		}
		k, err := readSettings(tx)
		if err != nil {
			return err
		}
		var broken error
		all := allEntries(tx, &broken)
		if format == "csv" {
			err = books.WriteCSV(w, all, slices.Concat(ProfitTags, []string{"member", "order", "kind", lotTag}))
		} else {
			err = books.WriteText(w, all, k.Value.Money.Chart())
		}
		return errors.Join(err, broken)
	})
}
