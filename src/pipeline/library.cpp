// The shared library is made of the static ones; a target needs a file of its own.
#include "pipeline/roomloom.h"
