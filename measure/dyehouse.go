package measure

// Litre and the others are the quantities of the dye house. What goes into a
// bath by the weight of the fibre is a Ratio, what goes in by its water is grams
// or millilitres in a litre.
type (
	Litre      float64 // litres of water or bath
	Celsius    float64 // degrees Celsius
	KJ         float64 // kilojoules of heat
	Minute     float64 // minutes
	PerLitre   float64 // grams in a litre of bath
	MLPerLitre float64 // millilitres in a litre of bath
	MLPerKG    float64 // millilitres for a kilogram of fibre
	LPerKG     float64 // litres of bath for a kilogram of fibre: the liquor ratio
	CPerMin    float64 // degrees Celsius in a minute
	Pascal     float64 // pressure
	Watt       float64 // heat in a second, joules
	MJPerKG    float64 // heat of a kilogram of fuel, megajoules
)

// Hour is sixty minutes, Day a day and a night.
const (
	Hour Minute = 60
	Day  Minute = 24 * Hour
)

// For is the bath that a liquor ratio gives a mass of fibre.
func (r LPerKG) For(m Gram) Litre { return Litre(float64(r) * float64(m) / 1000) }

// For is the energy of a power held for a time.
func (p Watt) For(t Minute) KJ { return KJ(float64(p) * float64(t) * 60 / 1000) }

func (v Litre) MarshalJSON() ([]byte, error)      { return rounded(float64(v), 3), nil }
func (t Celsius) MarshalJSON() ([]byte, error)    { return rounded(float64(t), 2), nil }
func (q KJ) MarshalJSON() ([]byte, error)         { return rounded(float64(q), 1), nil }
func (t Minute) MarshalJSON() ([]byte, error)     { return rounded(float64(t), 2), nil }
func (c PerLitre) MarshalJSON() ([]byte, error)   { return rounded(float64(c), 3), nil }
func (c MLPerLitre) MarshalJSON() ([]byte, error) { return rounded(float64(c), 3), nil }
func (c MLPerKG) MarshalJSON() ([]byte, error)    { return rounded(float64(c), 3), nil }
func (r LPerKG) MarshalJSON() ([]byte, error)     { return rounded(float64(r), 3), nil }
func (r CPerMin) MarshalJSON() ([]byte, error)    { return rounded(float64(r), 3), nil }
func (p Pascal) MarshalJSON() ([]byte, error)     { return rounded(float64(p), 1), nil }
func (p Watt) MarshalJSON() ([]byte, error)       { return rounded(float64(p), 1), nil }
func (h MJPerKG) MarshalJSON() ([]byte, error)    { return rounded(float64(h), 3), nil }
