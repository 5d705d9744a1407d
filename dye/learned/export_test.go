package learned

// Judge is what gives a family of questions its verdicts.
var Judge = judge
