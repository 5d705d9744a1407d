package dye

// Substance is a chemical of the dye house. GHS is its hazard statements where
// a classification is published, with where; safety sheets of suppliers differ
// and go before this list.
type Substance struct {
	Key     string
	Formula string
	Liquid  bool
	Heavy   bool // a metal that no shipped recipe uses
	Hazards []Hazard
	GHS     []string
	Source  string // of GHS
	Waste   Waste
}

// Substances is every chemical an amount may name.
var Substances = []Substance{
	{Key: "alum", Formula: "KAl(SO4)2·12H2O", Hazards: []Hazard{Dust, AlumCare}, Source: "from memory: not classified in most notifications", Waste: Reuse},
	{Key: "aluminium-sulphate", Formula: "Al2(SO4)3", Hazards: []Hazard{Dust, AlumCare}, GHS: []string{"H318"}, Source: "from memory: self-classified", Waste: Reuse},
	{Key: "aluminium-acetate", Hazards: []Hazard{Dust, AlumCare}, Source: "mask advised by earthues.com; no classification at hand", Waste: Reuse},
	{Key: "soda-ash", Formula: "Na2CO3", Hazards: []Hazard{Dust, Alkali}, GHS: []string{"H319"}, Source: "CLP Annex VI, from memory", Waste: Neutralise},
	{Key: "detergent", Liquid: true, Waste: Drain},
	{Key: "cream-of-tartar", Formula: "KHC4H4O6", Waste: Soil},
	{Key: "gall", Hazards: []Hazard{Dust, TanninCare}, Waste: Soil},
	{Key: "tannic-acid", Hazards: []Hazard{Dust, TanninCare}, Waste: Soil},
	{Key: "iron", Formula: "FeSO4·7H2O", Hazards: []Hazard{Dust, IronCare}, GHS: []string{"H302", "H315", "H319"}, Source: "CLP Annex VI, gischem.de", Waste: Reuse},
	{Key: "lime", Formula: "Ca(OH)2", Hazards: []Hazard{Dust, Alkali}, GHS: []string{"H315", "H318", "H335"}, Source: "hs74.com/dictionary/13394", Waste: Neutralise},
	{Key: "lye", Formula: "NaOH", Hazards: []Hazard{Alkali}, GHS: []string{"H290", "H314"}, Source: "CLP Annex VI, from memory", Waste: Neutralise},
	{Key: "fructose", Formula: "C6H12O6", Waste: Soil},
	{Key: "dithionite", Formula: "Na2S2O4", Hazards: []Hazard{Dust, Reducing}, GHS: []string{"H251", "H302", "EUH031"}, Source: "CLP Annex VI, from memory", Waste: Neutralise},
	{Key: "chalk", Formula: "CaCO3", Hazards: []Hazard{Dust}, Waste: Soil},
	{Key: "bran", Waste: Soil},
	{Key: "vinegar", Liquid: true, Hazards: []Hazard{Acid}, Source: "acetic acid below 10 % is not classified: CLP Annex VI, from memory", Waste: Neutralise},
	{Key: "oxalic-acid", Formula: "C2H2O4", Hazards: []Hazard{Dust, Acid, Poison}, GHS: []string{"H302", "H312"}, Source: "docslib.org 2340115, safety data sheet", Waste: Neutralise},
	{Key: "copper", Formula: "CuSO4·5H2O", Heavy: true, Hazards: []Hazard{Dust, HeavyMetal}, GHS: []string{"H302", "H318", "H410"},
		Source: "CLP Annex VI 029-023-00-4, from memory", Waste: Collect},
	{Key: "tin", Formula: "SnCl2", Heavy: true, Hazards: []Hazard{Dust, HeavyMetal}, GHS: []string{"H290", "H302", "H314", "H317", "H335", "H373", "H412"},
		Source: "from memory; notifications differ", Waste: Collect},
	{Key: "chrome", Formula: "K2Cr2O7", Heavy: true, Hazards: []Hazard{Dust, HeavyMetal, Poison},
		GHS:    []string{"H272", "H301", "H312", "H314", "H317", "H330", "H334", "H340", "H350", "H360FD", "H372", "H410"},
		Source: "CLP Annex VI, from memory", Waste: Collect},
}

// SubstanceOf is the chemical of a key, or nil.
func SubstanceOf(key string) *Substance {
	for i := range Substances {
		if Substances[i].Key == key {
			return &Substances[i]
		}
	}
	return nil
}
