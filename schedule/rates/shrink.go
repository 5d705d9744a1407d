package rates

// Group is what the records of one member say of a kind: how many, and the mean
// of ln(minutes a unit).
type Group struct {
	N    int
	Mean float64
}

// Prior is what is believed before the records. Its spread between members
// counts as so many members seen; the workshop's mean is believed to
// Doubt, a standard deviation, which may be infinite.
type Prior struct {
	Mean, Doubt float64
	Between     float64 // variance from member to member
	Members     int
}

// Pooled is what a workshop's records say of a kind, on the scale of the groups.
type Pooled struct {
	Mean, MeanVar float64 // of the workshop, and its variance
	Between       float64 // variance from member to member
	Members       []Shrunk
}

// Shrunk is a member's mean drawn toward the workshop's. Pull is how far: 0
// leaves it where it is, 1 is the workshop's mean.
type Shrunk struct {
	Mean, Var float64
	Pull      float64
}

// Shrink draws the mean of each group toward the common one; the members come in
// the order of the groups. The variance of a single record around its group's
// mean is within; groups have one record at least.
//
// With v_i = within / n_i, k groups and a the members the prior counts for:
//
//	t2     = ((k-1) DL + a prior) / (k-1+a), at least 0
//	mean   = sum y_i / (v_i + t2), with the prior's mean, by precision
//	pull_i = (k+a-3)/(k+a-1) v_i / (v_i + t2)
//	y_i'   = y_i + pull_i (mean - y_i)
//	var_i  = v_i (1 - pull_i) + pull_i^2 var(mean)
//	         + 2/(k+a-3) pull_i^2 (y_i - mean)^2 (v + t2)/(v_i + t2)
//
// DL is the moment estimator of DerSimonian and Laird (Controlled Clinical Trials
// 7, 1986, 177-188). The rest is Morris (J. Amer. Statist. Assoc. 78, 1983,
// 47-55): the factor of pull makes up for t2 being estimated, the last term of
// var, with the mean v, for its being unsure. Without a prior and with equal n
// this is the estimator of James and Stein toward the grand mean as used by Efron
// and Morris (the same 70, 1975, 311-319). With k+a of 3 or less nothing is drawn
// anywhere.
func Shrink(groups []Group, within float64, prior Prior) Pooled {
	v := make([]float64, len(groups))
	y := make([]float64, len(groups))
	for i, g := range groups {
		v[i], y[i] = within/float64(g.N), g.Mean
	}
	p := Pooled{Between: prior.Between, Members: make([]Shrunk, len(groups))}
	if df, a := float64(len(groups)-1), float64(prior.Members); df > 0 {
		p.Between = max(0, (df*DerSimonianLaird(y, v)+a*prior.Between)/(df+a))
	}
	precision := 1 / (prior.Doubt * prior.Doubt)
	sum, vBar := precision*prior.Mean, 0.0
	for i := range groups {
		u := 1 / (v[i] + p.Between)
		precision, sum, vBar = precision+u, sum+u*y[i], vBar+v[i]/float64(len(groups))
	}
	p.Mean, p.MeanVar = sum/precision, 1/precision
	k := float64(len(groups) + prior.Members)
	for i := range groups {
		m := Shrunk{Mean: y[i], Var: v[i]}
		if k > 3 {
			total := v[i] + p.Between
			m.Pull = (k - 3) / (k - 1) * v[i] / total
			off := p.Mean - y[i]
			m.Mean += m.Pull * off
			m.Var = v[i]*(1-m.Pull) + m.Pull*m.Pull*(p.MeanVar+2/(k-3)*off*off*(vBar+p.Between)/total)
		}
		p.Members[i] = m
	}
	return p
}

// DerSimonianLaird is the variance between groups whose means y have the known
// variances v, by moments:
//
//	w = 1/v, m = sum w y / sum w, Q = sum w (y-m)^2
//	(Q - (k-1)) / (sum w - sum w^2 / sum w)
//
// It is below zero where the means lie closer together than chance has them; zero
// is then meant. It needs two groups.
func DerSimonianLaird(y, v []float64) float64 {
	var w, ww, wy float64
	for i := range y {
		w, ww, wy = w+1/v[i], ww+1/(v[i]*v[i]), wy+y[i]/v[i]
	}
	q := 0.0
	for i := range y {
		off := y[i] - wy/w
		q += off * off / v[i]
	}
	return (q - float64(len(y)-1)) / (w - ww/w)
}
