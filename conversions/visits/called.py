"""The questions that are asked only when an answer or a fact calls for them, as data; each says what calls it.

They stand below the question of the fifteen whose number they bear. One that nobody answered keeps nothing back;
"Not sure" opens a hold, as everywhere.
"""

from django.utils.translation import gettext_lazy as _

from .kinds import NOT_SURE, Ask, Calls, Choice, Detail, Question, picks

RENTED = ("rent, yes", "rent, open", "nobody")
OTHERS_DECIDE = ("some owners", "rent, yes", "rent, open", "shared", NOT_SURE)
TREE, SEPTIC = Calls("trees", "trees", ("near", "protected")), Calls("septic", "septic", ("away", "here"))
KNOWN = Choice("known", _("We know"), more=True)
MEASURED = Choice("measured", _("Measured"), more=True)


def _row(code: str, *choices: Choice, details: tuple[Detail, ...] = (), usual: str = "") -> tuple[Ask, ...]:
    return (Ask(code, picks(*choices), details=details, usual=usual),)


_SAY = (
    Question(
        1, "owner", _("The owner"), _("Who owns it, and when does the lease end?"),
        _row("owner", KNOWN, details=(Detail("name", _("The owner’s name")), Detail("lease", _("The lease ends"), "far date"))),
        letter="a", effects=("hold", "design"), called_by=(Calls("say", "right", RENTED), Calls(fact="rented")),
    ),
    Question(
        1, "association", _("The association"), _("Which association, and who speaks for it?"),
        _row("association", KNOWN, details=(Detail("which", _("Its name")), Detail("whom", _("Who speaks for it")))),
        letter="b", effects=("hold",), called_by=(Calls("say", "right", ("shared",)),),
    ),
    Question(
        1, "shared", _("Shared yard"), _("Do others use this ground, and do they know?"),
        _row(
            "shared", Choice("nobody", _("Nobody else")), Choice("know", _("Yes, and they know")),
            Choice("ask", _("Yes, nobody asked them yet"), ("ask_the_others",)),
        ),
        letter="c", effects=("hold", "care"),
        called_by=(Calls("say", "right", ("shared", "some owners")), Calls(fact="shared")),
    ),
    Question(
        1, "adult", _("Who was there"), _("Whom did you talk with?"),
        _row(
            "adult", Choice("lives here", _("An adult who lives here")),
            Choice("other", _("Another adult"), ("come_again",)),
            Choice("child", _("Children only"), ("no_adult",), True),
        ),
        letter="d", effects=("stop", "hold", "safety"), is_safety=True,
        called_by=(Calls("say", "right", OTHERS_DECIDE),),
    ),
    Question(
        3, "alive", _("Grass alive"), _("Is the grass alive, and is no work begun?"),
        _row(
            "alive", Choice("yes", _("Alive, nothing begun")),
            Choice("begun", _("Dead, or work is begun"), ("grant_begun",)),
        ),
        _("Take pictures of the living lawn today, edges and corners too."),
        letter="a", effects=("hold", "evidence"), called_by=(Calls("grant", "grant", ("wanted", "granted")),),
    ),
)  # fmt: skip
_GROUND = (
    Question(
        4, "public", _("Public strip"), _("Is any of it public ground, by the road?"),
        _row("public", Choice("no", _("No")), Choice("yes", _("Yes"), ("public_strip",), more=True),
             details=(Detail("wide", _("How wide is the strip?"), "length"),)),
        letter="a", effects=("hold", "quantity"), called_by=(Calls(fact="kerb"),),
    ),
    Question(
        4, "sight", _("Drivers’ view"), _("Is it at a street corner, or beside a drive?"),
        _row("sight", Choice("no", _("No")), Choice("yes", _("Yes"), ("low_plants",), more=True),
             details=(Detail("high", _("Plants no higher than"), "length"),)),
        _("Your street office says how high plants may be there."),
        letter="b", effects=("design", "safety"), called_by=(Calls(fact="kerb"), Calls(fact="drive")),
    ),
    Question(
        4, "feel", _("Soil"), _("Push in a screwdriver. How does the soil feel?"),
        _row("feel", Choice("light", _("Light, sandy")), Choice("medium", _("In between")),
             Choice("heavy", _("Heavy clay, or hard"))),
        letter="c", effects=("quantity", "design"), called_by=(Calls(fact="paved"),),
    ),
    Question(
        4, "fire", _("Fire strip"), _("Does a wall, deck or fence near it burn?"),
        _row("fire", Choice("no", _("No")), Choice("yes", _("Yes"), ("fire_strip",), more=True),
             details=(Detail("wide", _("Kept free, wide"), "length"),)),
        _("The fire rule of your area says how wide the free strip is."),
        letter="d", effects=("quantity", "safety"), called_by=(Calls(fact="fire rule"),),
    ),
    Question(
        5, "creeps", _("Where it creeps"), _("Where does it creep in from?"),
        _row("creeps", Choice("here", _("From this lawn itself")),
             Choice("side", _("From one side"), ("edge_creeps",), more=True),
             Choice("round", _("From all round"), ("edge_creeps",)),
             details=(Detail("side", _("Which side?")),)),
        letter="a", effects=("quantity", "care"), per_patch=True,
        called_by=(Calls("grass", "grass", ("runners", "bindweed")),),
    ),
    Question(
        6, "spray", _("Spray next door"), _("Does anybody next door spray their lawn?"),
        _row("spray", Choice("no", _("No")), Choice("yes", _("Yes"), ("spray_next_door",))),
        letter="a", effects=("care",), called_by=(Calls("weedkiller", "killer", ("yes",)), Calls(fact="lawn next door")),
    ),
    Question(
        7, "sprinklers", _("Sprinklers"), _("Are there sprinklers among them?"),
        _row("sprinklers", Choice("no", _("No")), Choice("yes", _("Yes"), ("sprinklers",), more=True),
             details=(Detail("heads", _("How many heads?"), "whole"),)),
        letter="a", effects=("quantity", "evidence"), called_by=(Calls("pipes", "own", ("shown", "hidden")),),
    ),
    Question(
        8, "field", _("Where the tank is"), _("Where are the tank, its lids and its field?"),
        _row("field", Choice("shown", _("Shown to us"), more=True), Choice("tank", _("The tank only"), ("find_field",)),
             details=(Detail("where", _("Where?")), Detail("off", _("From the field to the lawn"), "length"))),
        letter="a", effects=("hold", "design", "safety"), is_safety=True, called_by=(SEPTIC,),
    ),
    Question(
        8, "well", _("Well"), _("Do they have a well?"),
        _row("well", Choice("no", _("No")), Choice("yes", _("Yes"), ("well_near",), more=True),
             details=(Detail("off", _("From the well to the lawn"), "length"),)),
        letter="b", effects=("design", "safety"), called_by=(SEPTIC,),
    ),
    Question(
        9, "gutter", _("Gutter"), _("Can the gutter’s water be led past the lawn?"),
        _row("gutter", Choice("yes", _("Yes")), Choice("no", _("No, it stays"), ("gutter_stays",))),
        letter="a", effects=("design",), per_patch=True, called_by=(Calls("wet", "standing", ("gutter",)),),
    ),
    Question(
        9, "fall", _("The fall"), _("How much does it fall over 3 m?"),
        _row("fall", MEASURED, details=(Detail("drop", _("Fall over 3 m"), "length", most_m=3),)),
        letter="b", effects=("quantity", "design"), called_by=(Calls("wet", "slope", ("sloping", "steep")),),
    ),
)  # fmt: skip
_LIVING = (
    Question(
        10, "tree_at", _("Where the tree is"), _("Beside which side does the tree stand?"),
        _row("at", Choice("outside", _("Beyond the edge"), more=True), Choice("inside", _("In the lawn"), more=True),
             details=(Detail("side", _("Which side: A, B, C …")),
                      Detail("along", _("How far along it, from its first corner"), "length"))),
        letter="a", effects=("quantity", "design"), per_patch=True, called_by=(TREE,),
    ),
    Question(
        10, "roots", _("Roots"), _("Roots on top, or a walnut?"),
        _row("roots", Choice("no", _("No")), Choice("roots", _("Roots on top"), ("roots",)),
             Choice("walnut", _("A walnut or its like"), ("walnut",))),
        letter="b", effects=("design",), per_patch=True, called_by=(TREE,),
    ),
    Question(
        11, "built", _("Year of the house"), _("In what year was the house built?"),
        _row("built", KNOWN, details=(Detail("year", _("Year"), "whole"),)),
        letter="a", effects=("hold", "design"), is_safety=True, called_by=(Calls("past", "past", ("paint", "both")),),
    ),
    Question(
        12, "shade", _("What shades it"), _("What keeps the sun off?"),
        _row("shade", Choice("wall", _("A house or a wall")), Choice("bare", _("A tree, bare in winter")),
             Choice("green", _("A tree, always green")), Choice("fence", _("A fence or a shed"))),
        _("Take a picture towards the sun."),
        letter="a", effects=("design", "evidence"), per_patch=True,
        called_by=(Calls("sun", "sun", ("under 3", "3 to 6")),),
    ),
    Question(
        13, "water", _("Water"), _("Where will the water come from?"),
        _row("water", Choice("barrel", _("A rain barrel")), Choice("neighbour", _("A neighbour’s tap"), more=True),
             Choice("nowhere", _("Nobody knows yet"), ("no_water",)), details=(Detail("off", _("How far?"), "length"),)),
        letter="a", effects=("care", "design"), called_by=(Calls("tap", "tap", ("no",)),),
    ),
    Question(
        14, "reach", _("How they garden"), _("How do they garden best?"),
        _row("reach", Choice("standing", _("Standing")), Choice("stool", _("On a stool"), ("high_bed",), more=True),
             Choice("wheels", _("Seated, or with wheels"), ("high_bed", "firm_path"), more=True),
             details=(Detail("high", _("A good height for the bed"), "length", most_m=3),)),
        letter="a", effects=("quantity", "design"), called_by=(Calls("waters", "bend", ("helped", "yes")),),
    ),
)  # fmt: skip
_DAY = (
    Question(
        15, "way_photo", _("Picture of the way"), _("Is the narrow part in a picture?"),
        _row("way_photo", Choice("yes", _("Yes")), Choice("no", _("Not yet"), ("photo_of_the_way",))),
        letter="a", effects=("evidence", "safety"), called_by=(Calls("way_in", "way", ("narrow",)),),
    ),
    Question(
        15, "haul", _("Heap to lawn"), _("How far is it from the heap to the lawn?"),
        _row("haul", MEASURED, details=(Detail("far", _("From the heap to the lawn"), "length", most_m=500),
                                        Detail("steps", _("Steps on the way"), "whole"))),
        letter="b", effects=("quantity",), called_by=(Calls("way_in", "way", ("all", "narrow", "wires")),),
    ),
    Question(
        15, "wires", _("Wires above"), _("How high are the wires, and whose are they?"),
        _row("wires", Choice("measured", _("Known"), more=True), Choice("clear", _("No lorry stops there")),
             details=(Detail("high", _("How high?"), "length"), Detail("whose", _("Whose?")))),
        _("Never hold a tape or a pole up to them: ask the power company."),
        letter="c", effects=("hold", "safety"), is_safety=True, called_by=(Calls("way_in", "way", ("wires",)),),
    ),
    Question(
        15, "heap", _("Place of the heap"), _("Where can the heap lie?"),
        _row("heap", Choice("own", _("On their own ground")), Choice("street", _("On the street"), ("street_heap",)),
             Choice("nowhere", _("Nowhere yet"), ("no_heap",))),
        letter="d", effects=("hold", "safety"), called_by=(Calls("way_in", "way", ("narrow", "wires")),),
    ),
    Question(
        15, "hydrant", _("Hydrant and drains"), _("Is a hydrant, a drain or a bus stop beside it?"),
        _row("hydrant", Choice("no", _("No")), Choice("yes", _("Yes"), ("keep_clear",))),
        letter="e", effects=("safety",), called_by=(Calls("heap", "heap", ("street",)),),
    ),
    Question(
        15, "dog", _("Dog"), _("Is there a dog?"),
        _row("dog", Choice("no", _("No")), Choice("held", _("Yes, kept in on the day"), more=True),
             Choice("loose", _("Yes, it runs free"), ("dog_loose",)), details=(Detail("who", _("Who keeps it in?")),)),
        letter="f", effects=("safety", "care"),
        called_by=(Calls("pipes", "own", ("shown", "hidden")), Calls(fact="locked")),
    ),
)  # fmt: skip

CALLED: tuple[Question, ...] = (*_SAY, *_GROUND, *_LIVING, *_DAY)
