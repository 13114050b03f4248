"""Words by which the wording of a step or a hazard is judged: acts of the bench, what isn't one, hurt, and parts. English.

Common practice, no source. A word that stands in none of these lists never gives a warning.
"""

from __future__ import annotations

ACTS = frozenset(
    """
    add adjust align allow anneal apply arrange ask assemble attach bag bake balance bar bathe beat bend blast bleed block
    blow bolt bond bore brace braze break bring brush buff burnish cap carry catch centre chamfer change charge check chill
    choose clamp clean clear clip close coat collect compare compress connect cool count cover crank cut damp debur deburr
    degrease deliver detach dip disconnect discard dismantle divide drain draw dress drill drive drop dry dump empty enter
    etch examine expose extract face fasten feed feel fetch file fill filter find fit fix flatten flip flush fold follow
    force free freeze gauge get give glue grease grind grip grit guide hammer hand hang harden have heat help hoist hold hone
    immerse increase inflate inspect insert install insulate jack join keep key knock label lap lay lead leave let level lift
    light line list load lock log look loosen lower lubricate machine make mark mask match measure melt mill mix mount move
    neutralise note notch oil open order pack paint park peel peen pick pierce place plan plane plate plug plunge point polish position pour
    practise practice preheat prepare press pressurise prick prop protect prove provide pull pump punch purge push put quench
    raise ream record reduce refit release relieve remove repeat replace report reset rest retract return rinse rivet roll rotate
    rough rub run sand saw say scrape screw scribe scrub seal seat secure select send separate set shake shape sharpen shim
    shine show shut sign skim slacken slide slip smear smooth snap soak solder sort spin split spot spray spread square stack
    stamp stand start stay steady step stick stir stone stop store straighten strap strike strip suck support swab swap sweep swing
    switch tack tag take tap tape tell tension test thread tie tighten tilt time tin torque touch trace transfer trim true try
    turn twist type uncap unclamp unbolt undo unload unlock unpack unplug unscrew use vent verify wait walk warm warn wash
    watch wear wedge weigh weld wet wind wipe wire withdraw work wrap write zero
    """.split()
)
"""What a step may tell somebody to do; many are names of things as well."""

ONLY_ACTS = frozenset(
    """
    add adjust align apply assemble attach bring carry choose collect compare connect deburr degrease deliver detach disconnect
    discard dismantle examine fasten fetch fill find flatten get give hang hold immerse inflate inspect install loosen
    lubricate melt neutralise pour put remove replace retract rinse rotate secure select send sharpen slacken straighten take
    tell tighten unbolt uncap unclamp undo unload unlock unpack unplug unscrew verify weigh wipe withdraw write
    """.split()
)
"""Acts whose word is nothing else: behind an `and` they begin a second act."""

CLEANING = frozenset("wash clean rinse dry wipe degrease brush scrub flush".split())
"""Two of these joined are one act in the trade: wash and dry."""

RESTING = frozenset("let leave allow keep wait stay stop".split())
"""Said of what goes on by itself: wash it and let it dry is one act."""

POINTERS = frozenset(
    "a an the this that these those it them its their his her your our each every all both any some one two three".split()
)
"""Words that begin the thing an act is done to."""

NO_BEGINNING = POINTERS - {"one"} | frozenset(
    "there they we you he she i is are was were has had must should shall can could may might will would does".split()
)
"""Words that no order to do something begins with."""

THINGS = frozenset(
    """
    oven freezer micrometer caliper callipers calipers gloves goggles cutter mallet spindle temperature pressure thermometer valve
    valves spring springs piston pistons cylinder cylinders bearing bearings crankshaft camshaft bolts nuts washers screws
    studs threads chips coolant burrs pilot pilots inserts seats guides heads gaskets pins rings gears rods barrels fixture
    certificate paperwork tools instruments parts visual dimensions diameter thickness
    """.split()
)
"""Things at the bench whose word is no act."""

NO_ING = frozenset("bring ring string spring swing sling wring cling fling sting sing ping king wing".split())
NO_ED = frozenset(
    "need feed bleed speed seed weed shed bed embed wed heed red led fed reed proceed exceed succeed".split()
)

HURT = frozenset(
    """
    hurt hurts hurting injury injuries injure injures injured injuring wound wounds death dead die dies deadly fatal kill kills killed
    burn burns burned burnt scald scalds scalded frostbite skin hand hands finger fingers fingertip fingertips thumb eye eyes
    eyesight sight blind blinds blindness face arm arms leg legs foot feet toe toes head-injury back lung lungs breath breathe breathing breathed
    ear ears hearing deaf deafness hair scalp neck throat nose mouth tooth teeth body bodies bone bones muscle person people
    somebody someone anybody anyone operator machinist you your crush crushes crushed crushing trap traps trapped pinch pinches
    pinched amputation amputate amputates amputated shock shocks shocked electrocution electrocute poison poisons poisoned poisoning
    poisonous toxic choke chokes choking suffocate suffocates suffocation asphyxiate asphyxiation dizzy dizziness nausea faint
    unconscious unconsciousness cancer rash dermatitis allergy asthma slip slips trip trips fall falls explosion explode explodes
    explodes fire fumes laceration lacerations bruise bruises bruised sprain sprains strain strains blood bleed bleeding
    cataract cataracts sting stings irritates irritation health ill illness sick sickness vision flesh limb limbs wrist wrists
    """.split()
)
"""Words that tell of hurt to a person."""

HARM = frozenset(
    """
    bore bores pocket pockets insert inserts seat seats guide guides head heads barrel barrels thread threads gauge gauges micrometer
    spindle cutter cutters tool tools machine surface surfaces finish flange flanges gasket gaskets casting castings metal aluminium
    alloy part parts piece pieces workpiece bearing bearings journal journals piston pistons ring rings gear gears shaft crankshaft
    valve valves spring springs stud studs fit fits size sizes reading readings measurement measurements record data hardness temper
    scored scores scratch scratches scratched gouge gouges gouged dent dents dented warp warps warped distort distorts distorted
    distortion yield yields yielded crack cracks cracked galling galls galled seize seizes seized scrap scrapped leak leaks leaking
    loose loosens rust rusts corrosion corrodes damage damaged damages spoil spoils spoiled ruined ruins wrong big small
    """.split()
)
"""Words that tell of harm to a part, a machine or a record."""

SURE_HURT = HURT - frozenset(
    "face back slip slips trip trips fall falls fire fumes you your somebody someone trap traps trapped head-injury strain strains body bodies sight vision shock shocks pinch pinches pinched crush crushes crushed crushing burn burns burned burnt".split()
)
"""Those of them that are said of nothing but people."""

SAYS_NOTHING = frozenset(
    """
    ok; okay; good; bad; fine; checked; done; pass; passed; fail; failed; yes; no; not ok; not okay; no good; not good; n/a
    """.strip().split("; ")
)
"""Options that say how somebody judged and not what they saw."""
