/*
 * Which optional parts of the engine this image has. Leaving out a function's `length` and `name`
 * saves two slots, 32 bytes of RAM, for each of the firmware's functions.
 */
#include "xsAll.h"

#define gxDefaults stock_defaults
#include "xsDefaults.c"
#undef gxDefaults

const txDefaults gxDefaults = {
    .newGeneratorInstance = fxNewGeneratorInstance,
    .newGeneratorFunctionInstance = fxNewGeneratorFunctionInstance,
    .newArgumentsSloppyInstance = fxNewArgumentsSloppyInstance,
    .newArgumentsStrictInstance = fxNewArgumentsStrictInstance,
    .runProgramEnvironment = fxRunProgramEnvironment,
    .definePrivateProperty = fxDefinePrivateProperty,
    .getPrivateProperty = fxGetPrivateProperty,
    .setPrivateProperty = fxSetPrivateProperty,
};

/* In place of the builders that `LEFT_OUT` of `firmware/image/sources.ts` names; the linker puts them there. */
#define BUILDS_NOTHING(name) \
  void __wrap_##name(txMachine *the) { (void)the; }
BUILDS_NOTHING(fxBuildAtomics)
BUILDS_NOTHING(fxBuildDate)
BUILDS_NOTHING(fxBuildProxy)
