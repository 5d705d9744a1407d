package store

// ColumnType is what a column holds.
type ColumnType string

// The types of columns, on either database.
const (
	TextColumn  ColumnType = "text"    // UTF-8
	WholeColumn ColumnType = "integer" // 64 bits
	BytesColumn ColumnType = "bytes"
)

// Column is one column of a table.
type Column struct {
	Name string
	Type ColumnType
	// Sum: its numbers may be added up, as a check that none was lost.
	Sum bool
	// Prose: it may hold what someone wrote, and so somebody's name; text that is
	// no key and no word of the program.
	Prose bool
	// Secret: it opens something; an export for others leaves it empty.
	Secret bool
}

// Table is one table of the schema, as it goes out of the house and comes in
// again. What its rows and columns mean stands in the words "table-NAME" and
// "column-TABLE-COLUMN".
type Table struct {
	Name    string
	Columns []Column
	Key     []string // what names a row; exports are in this order
	// Of picks the rows of the workshop $1.
	Of string
	// Secret: the whole table opens something; an export for others has no rows
	// of it.
	Secret bool
}

const ofWorkshop = "workshop = $1"

func text(name string) Column  { return Column{Name: name, Type: TextColumn} }
func whole(name string) Column { return Column{Name: name, Type: WholeColumn} }
func prose(name string) Column { return Column{Name: name, Type: TextColumn, Prose: true} }
func sum(name string) Column   { return Column{Name: name, Type: WholeColumn, Sum: true} }

// Tables is every table but the passing ones, in an order in which rows find what they refer to.
var Tables = []Table{
	{Name: "workshops", Key: []string{"id"}, Of: "id = $1", Columns: []Column{text("id"), text("name"), text("made")}},
	{Name: "accounts", Key: []string{"id"}, Of: ofWorkshop, Columns: []Column{
		text("id"), text("workshop"), text("login"), text("name"), text("role"), text("member"), text("lang"),
		{Name: "secret", Type: TextColumn, Secret: true}, whole("closed"),
	}},
	{Name: "keys", Key: []string{"hash"}, Of: "account IN (SELECT id FROM accounts WHERE workshop = $1)", Secret: true, Columns: []Column{
		{Name: "hash", Type: TextColumn, Secret: true}, text("account"), text("use"), text("made"), text("ends"),
	}},
	{Name: "tokens", Key: []string{"hash"}, Of: "account IN (SELECT id FROM accounts WHERE workshop = $1)", Secret: true, Columns: []Column{
		{Name: "hash", Type: TextColumn, Secret: true}, text("id"), text("account"), prose("name"), text("scopes"), text("made"), text("ends"), text("used"),
	}},
	{Name: "records", Key: []string{"workshop", "kind", "id"}, Of: ofWorkshop, Columns: []Column{
		text("workshop"), text("kind"), text("id"), whole("revision"), text("parent"), text("state"), prose("sort"), prose("words"), prose("body"),
	}},
	{Name: "history", Key: []string{"workshop", "seq"}, Of: ofWorkshop, Columns: []Column{
		text("workshop"), whole("seq"), text("at"), text("who"), text("act"), text("kind"), text("id"), whole("revision"), prose("body"),
	}},
	{Name: "moves", Key: []string{"workshop", "seq"}, Of: ofWorkshop, Columns: []Column{
		text("workshop"), whole("seq"), text("at"), text("who"), text("act"), text("lot"), sum("milligrams"), text("from_place"), text("to_place"),
	}},
	{Name: "stock", Key: []string{"workshop", "place", "lot"}, Of: ofWorkshop, Columns: []Column{
		text("workshop"), text("place"), text("lot"), sum("milligrams"),
	}},
	{Name: "counters", Key: []string{"workshop", "name"}, Of: ofWorkshop, Columns: []Column{text("workshop"), text("name"), whole("last")}},
	{Name: "entries", Key: []string{"workshop", "seq"}, Of: ofWorkshop, Columns: []Column{
		text("workshop"), whole("seq"), text("at"), text("who"), text("act"), text("date"), prose("text"), text("document"), text("source"),
		text("settles"), whole("reverses"), text("closes"),
	}},
	{Name: "lines", Key: []string{"workshop", "entry", "n"}, Of: ofWorkshop, Columns: []Column{
		text("workshop"), whole("entry"), whole("n"), text("date"), text("account"), text("currency"), sum("minor"), prose("item"), prose("tags"),
	}},
	{Name: "sums", Key: []string{"workshop", "tag", "account", "value", "currency", "date"}, Of: ofWorkshop, Columns: []Column{
		text("workshop"), text("tag"), text("account"), prose("value"), text("currency"), text("date"), sum("debit"), sum("credit"),
	}},
	{Name: "items", Key: []string{"workshop", "account", "item", "currency"}, Of: ofWorkshop, Columns: []Column{
		text("workshop"), text("account"), prose("item"), text("currency"), sum("minor"),
	}},
	{Name: "numbers", Key: []string{"workshop", "series", "year", "n"}, Of: ofWorkshop, Columns: []Column{
		text("workshop"), text("series"), whole("year"), whole("n"), text("kind"), text("id"), text("at"),
	}},
	{Name: "answers", Key: []string{"workshop", "account", "key"}, Of: ofWorkshop, Columns: []Column{
		text("workshop"), text("account"), text("key"), text("digest"), text("at"), whole("status"), text("tag"), text("body"),
	}},
	{Name: "secrets", Key: []string{"workshop", "id"}, Of: ofWorkshop, Secret: true, Columns: []Column{
		text("workshop"), text("id"), {Name: "secret", Type: TextColumn, Secret: true}, {Name: "former", Type: TextColumn, Secret: true}, text("ends"),
	}},
	{Name: "messages", Key: []string{"workshop", "seq"}, Of: ofWorkshop, Columns: []Column{
		text("workshop"), whole("seq"), text("hook"), text("event"), text("made"), text("state"), whole("tries"), text("next"), text("tried"),
		whole("status"), text("note"), text("body"),
	}},
	{Name: "tellings", Key: []string{"workshop", "account", "key"}, Of: ofWorkshop, Columns: []Column{
		text("workshop"), text("account"), text("key"), text("device"), whole("n"), text("digest"), text("at"), whole("taken"), prose("said"),
	}},
	{Name: "files", Key: []string{"workshop", "id"}, Of: ofWorkshop, Columns: []Column{
		text("workshop"), text("id"), text("type"), {Name: "body", Type: BytesColumn},
	}},
}

// Passing are tables whose rows are of use for minutes; no copy and no export has
// them.
var Passing = []string{"tries"}

// TableNamed finds a table.
func TableNamed(name string) (Table, bool) {
	for _, t := range Tables {
		if t.Name == name {
			return t, true
		}
	}
	return Table{}, false
}

// Names are the names of a table's columns.
func (t Table) Names() []string {
	out := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		out[i] = c.Name
	}
	return out
}

// Column finds a column.
func (t Table) Column(name string) (Column, bool) {
	for _, c := range t.Columns {
		if c.Name == name {
			return c, true
		}
	}
	return Column{}, false
}
