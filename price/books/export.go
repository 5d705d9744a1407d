package books

import (
	"encoding/csv"
	"fmt"
	"io"
	"iter"
	"maps"
	"slices"
	"strconv"
	"strings"
)

// WriteText writes entries as the plain-text double-entry format that general
// accounting programs read: a line with date, number of the document and text, then
// a line for each account and amount, with tags in comments. Texts lose what would
// have a meaning in it.
func WriteText(w io.Writer, entries iter.Seq[Entry], chart Chart) error {
	var b strings.Builder
	for _, a := range chart {
		fmt.Fprintf(&b, "account %s\n", a.Key)
	}
	for e := range entries {
		b.WriteByte('\n')
		b.WriteString(e.Date)
		if e.Document != "" {
			fmt.Fprintf(&b, " (%s)", clean(e.Document))
		}
		fmt.Fprintf(&b, " %s\n", clean(e.Text))
		fmt.Fprintf(&b, "    ; entry: %d\n", e.N)
		if e.Reverses != 0 {
			fmt.Fprintf(&b, "    ; reverses: %d\n", e.Reverses)
		}
		if e.Closes != "" {
			fmt.Fprintf(&b, "    ; closes: %s\n", clean(e.Closes))
		}
		for _, l := range e.Lines {
			fmt.Fprintf(&b, "    %s  %s\n", l.Account, l.Amount)
			if l.Item != "" {
				fmt.Fprintf(&b, "    ; item: %s\n", clean(l.Item))
			}
			for _, k := range slices.Sorted(maps.Keys(l.Tags)) {
				fmt.Fprintf(&b, "    ; %s: %s\n", k, clean(l.Tags[k]))
			}
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// clean leaves of a text what is only a text to every reader: brackets, bars and
// marks of tags and comments become spaces, and spaces are single.
func clean(text string) string {
	text = strings.Map(func(r rune) rune {
		if r < ' ' || strings.ContainsRune("()[]{}|;,:=*!\"", r) {
			return ' '
		}
		return r
	}, text)
	return strings.Join(strings.Fields(text), " ")
}

// WriteCSV writes a line for each line of the entries, with a header. Tags are the
// columns after the fixed ones. Amounts are plain decimals with a point. A text that
// a spreadsheet would take for a formula has an apostrophe put before it.
func WriteCSV(w io.Writer, entries iter.Seq[Entry], tags []string) error {
	out := csv.NewWriter(w)
	head := []string{"entry", "date", "document", "text", "reverses", "closes", "account", "item", "debit", "credit", "currency"}
	if err := out.Write(append(head, tags...)); err != nil {
		return err
	}
	for e := range entries {
		for _, l := range e.Lines {
			debit, credit := l.Amount, l.Amount
			debit.Minor, credit.Minor = max(0, debit.Minor), max(0, -credit.Minor)
			row := []string{strconv.FormatInt(e.N, 10), e.Date, safe(e.Document), safe(e.Text), number(e.Reverses), safe(e.Closes),
				l.Account, safe(l.Item), debit.Plain(), credit.Plain(), l.Amount.Currency}
			for _, k := range tags {
				row = append(row, safe(l.Tags[k]))
			}
			if err := out.Write(row); err != nil {
				return err
			}
		}
	}
	out.Flush()
	return out.Error()
}

func number(n int64) string {
	if n == 0 {
		return ""
	}
	return strconv.FormatInt(n, 10)
}

func safe(text string) string {
	if text != "" && strings.ContainsRune("=+-@\t\r", rune(text[0])) {
		return "'" + text
	}
	return text
}
