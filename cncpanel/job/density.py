"""How heavy sheet materials usually are: what masses of parts and of whole cabinets are worked out with."""

DENSITY = {  # kg/m3
    "mdf": 720.0,  # common practice; makers state 700 at least, 740-760 for 15-30 mm
    "particleboard": 660.0,  # from memory
    "plywood": 680.0,  # birch, from memory
    "softwood": 480.0,  # from memory
    "hardwood": 700.0,  # oak, from memory
    "acrylic": 1190.0,  # from memory
}
