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
