package workshop

import "slices"

// Role is what someone is in a workshop.
type Role string

const (
	Head       Role = "head"
	Dyer       Role = "dyer"
	Seller     Role = "seller"
	Bookkeeper Role = "bookkeeper"
	MemberRole Role = "member"
)

// Roles is every role.
var Roles = []Role{Head, Dyer, Seller, Bookkeeper, MemberRole}

// Person is someone signed in. The zero Person is a stranger.
type Person struct {
	Account  string
	Workshop string
	Name     string
	Role     Role
	Member   string // her record, if she is a member
	Lang     string
}

// right is one thing a role may do or see.
type right string

const (
	seeOwn       right = "see own work" // what a member sees: her own
	seeShop      right = "see the workshop"
	editSales    right = "customers and orders"
	editDesign   right = "cloths and figures"
	editYarn     right = "yarn"
	editPeople   right = "members"
	giveWork     right = "give work out and take it back"
	tellWork     right = "tell progress"
	editFinish   right = "finish and deliver"
	editPay      right = "pay"
	editSettings right = "settings and accounts"
)

// may says what each role may do.
var may = map[Role][]right{
	Head:       {seeOwn, seeShop, editSales, editDesign, editYarn, editPeople, giveWork, tellWork, editFinish, editPay, editSettings},
	Dyer:       {seeOwn, seeShop, editDesign, editYarn, giveWork, tellWork},
	Seller:     {seeOwn, seeShop, editSales, editDesign, editFinish},
	Bookkeeper: {seeOwn, seeShop, editSales, editPay},
	MemberRole: {seeOwn, tellWork},
}

// needs is the right each method of House asks for; a test holds it to the
// methods there are.
var needs = map[string]right{
	"Settings": seeOwn, "SaveSettings": editSettings,
	"Accounts": editSettings, "SaveAccount": editSettings, "MakeCard": editSettings, "DropCards": editSettings,
	"ChangePassphrase": seeOwn, "SetLang": seeOwn,
	"Customers": seeShop, "Customer": seeShop, "SaveCustomer": editSales,
	"Orders": seeShop, "Order": seeShop, "SaveOrder": editSales, "ConfirmOrder": editSales, "CancelOrder": editSales,
	"ChooseLots": editYarn,
	"Cloths":     seeShop, "Cloth": seeShop, "SaveCloth": editDesign, "Versions": seeShop,
	"Drafts": seeShop, "SaveDraft": editDesign, "DropDraft": editDesign, "SaveDesign": editDesign,
	"BackTo": editDesign, "SaveBranch": editDesign, "Compare": seeShop,
	"Figures": seeShop, "Figure": seeShop, "SaveFigure": editDesign,
	"Lots": seeShop, "Lot": seeShop, "SaveLot": editYarn, "Receive": editYarn, "Discard": editYarn,
	"Recipes": seeShop, "Recipe": seeShop, "SaveRecipe": editYarn, "DropRecipe": editYarn,
	"Supplies": seeShop, "Supply": seeShop, "SaveSupply": editYarn, "Buy": editYarn, "Spoil": editYarn,
	"WishDye": editYarn, "ProposeDye": seeShop, "AcceptDye": editYarn,
	"Dyeings": seeShop, "Dyeing": seeShop, "BeginDyeing": editYarn, "DoneStage": editYarn, "OutOfBath": editYarn,
	"ColourDyeing": editYarn, "JudgeDyeing": editYarn, "UndoDyeing": editYarn,
	"ColourLot": editYarn, "ColourShelf": seeShop, "Story": seeShop, "Picture": seeShop,
	"Shade": seeShop, "SaveSample": editYarn, "DropSample": editYarn, "SaveTrial": editYarn, "Reached": seeShop,
	"Members": seeShop, "Member": seeShop, "SaveMember": editPeople,
	"Jobs": seeOwn, "Job": seeOwn, "GiveOut": giveWork, "Laid": tellWork, "Tell": tellWork, "TakeBack": giveWork, "Paid": editPay,
	"Pieces": seeShop, "Piece": seeShop, "Finish": editFinish, "Deliver": editFinish, "Return": editFinish, "Repair": editFinish,
	// UndoJob and Restore ask besides for the right of what is undone.
	"UndoJob": seeOwn, "UndoPiece": editFinish, "Restore": seeShop,
	"Today": seeOwn, "Search": seeShop, "History": seeShop,
	"CheckBooks": editSettings,
}

// allowed refuses a call that a person has no right to.
func allowed(p Person, call string) error {
	if p.Workshop != "" && slices.Contains(may[p.Role], needs[call]) {
		return nil
	}
	return &Error{Code: Denied}
}

// May says whether a person may make a call; pages leave out what she may not.
func (p Person) May(call string) bool { return allowed(p, call) == nil }

// onlyOwn says whether a person sees only her own work.
func onlyOwn(p Person) bool { return !slices.Contains(may[p.Role], seeShop) }
