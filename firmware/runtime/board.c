#include "board.h"
#include "arguments.h"
#include "board_map.h"
#include "bridge.h"
#include "flash.h"
#include "mat_look.h"
#include "pins.h"
#include "restart.h"
#include "safety.h"
#include "script_time.h"
#include "timer.h"
#include "uart.h"
#include "usb.h"

static void result_boolean(txMachine *the, bool value) { fxBoolean(the, mxResult, value); }

static void result_number(txMachine *the, txNumber value) { fxNumber(the, mxResult, value); }

static void board_clockMs(txMachine *the) { result_number(the, (txNumber)timer_ms()); }

static void board_resetCause(txMachine *the) {
  static const char *const names[] = RESET_CAUSE_NAMES;
  fxStringX(the, mxResult, (txString)names[restart_cause()]);
}

static void board_resetDetail(txMachine *the) { result_number(the, restart_detail()); }

static void board_boardId(txMachine *the) {
  fxStringX(the, mxResult, (txString)flash_board_id());
}

static void board_limitProbe(txMachine *the) {
  /* What is no number is no code either. */
  uint32_t channel = argument_word(the, 0, UINT32_MAX);
  uint32_t hot = argument_word(the, 1, UINT32_MAX);
  uint32_t open = argument_word(the, 2, UINT32_MAX);
  uint32_t shorted = argument_word(the, 3, 0);
  result_boolean(the, safety_limit_probe(channel, hot, open, shorted));
}

static void board_readProbe(txMachine *the) {
  uint32_t channel = argument_word(the, 0, UINT32_MAX);
  result_number(the, channel < PROBE_COUNT ? safety_probe_code(channel) : C_NAN);
}

static void board_readScale(txMachine *the) {
  int32_t code;
  result_number(the, bridge_take(&code) ? (txNumber)code : C_NAN);
}

static void board_takeMatLook(txMachine *the) { result_number(the, mat_look_take()); }

static void board_matLookCode(txMachine *the) {
  result_number(the, mat_look_code(fxToBoolean(the, mxArgv(0))));
}

static void board_leaseMat(txMachine *the) { safety_lease_mat(argument_word(the, 0, 0)); }

static void board_leasePump(txMachine *the) { safety_lease_pump(argument_word(the, 0, 0)); }

static void board_outputs(txMachine *the) { fxInteger(the, mxResult, (txInteger)safety_outputs()); }

static void board_setSounder(txMachine *the) { pin_set(PIN_SOUNDER, fxToBoolean(the, mxArgv(0))); }

static void board_setLamp(txMachine *the) { pin_set(PIN_LAMP, fxToBoolean(the, mxArgv(0))); }

static void board_flashRead(txMachine *the) {
  uint32_t offset = argument_word(the, 0, UINT32_MAX);
  struct bytes into = argument_room(the, 1);
  if (!flash_read(offset, into.data, into.count)) {
    mxRangeError("flashRead outside the chip");
  }
}

static void board_flashProgram(txMachine *the) {
  uint32_t offset = argument_word(the, 0, UINT32_MAX);
  struct bytes bytes = argument_bytes(the, 1);
  result_boolean(the, flash_program(offset, bytes.data, bytes.count));
}

static void board_flashErase(txMachine *the) {
  uint64_t begin_ms = timer_ms();
  usb_await_control_end();
  bool erased = flash_erase(argument_word(the, 0, UINT32_MAX));
  script_time_excuse(timer_ms() - begin_ms);
  if (!script_time_left()) { /* the meter counts bytecodes, of which an erase is a dozen */
    fxAbort(the, XS_TOO_MUCH_COMPUTATION_EXIT);
  }
  result_boolean(the, erased);
}

static void board_send(txMachine *the) {
  uint32_t door = argument_word(the, 0, UINT32_MAX);
  struct bytes bytes = argument_bytes(the, 1);
  bool taken = (door == DOOR_USB && usb_send(bytes.data, bytes.count)) ||
               (door == DOOR_UART && uart_send(bytes.data, bytes.count));
  result_boolean(the, taken);
}

static void board_restart(txMachine *the) {
  (void)the;
  restart_because(RESET_REQUEST, 0);
}

static void board_enterBootDrive(txMachine *the) {
  (void)the;
  restart_into_boot_drive();
}

static const struct host_function functions[] = {
    {"clockMs", board_clockMs, 0},         {"resetCause", board_resetCause, 0},
    {"resetDetail", board_resetDetail, 0},   {"boardId", board_boardId, 0},
    {"readProbe", board_readProbe, 1},       {"readScale", board_readScale, 0},
    {"takeMatLook", board_takeMatLook, 0},   {"matLookCode", board_matLookCode, 1},
    {"leaseMat", board_leaseMat, 1},         {"leasePump", board_leasePump, 1},
    {"outputs", board_outputs, 0},           {"setSounder", board_setSounder, 1},
    {"setLamp", board_setLamp, 1},           {"flashRead", board_flashRead, 2},
    {"flashProgram", board_flashProgram, 2}, {"flashErase", board_flashErase, 1},
    {"send", board_send, 2},                 {"restart", board_restart, 0},
    {"enterBootDrive", board_enterBootDrive, 0},
    {"limitProbe", board_limitProbe, 4},
};

void board_define(txMachine *the) {
  fxNewObject(the);
  define_functions(the, functions, sizeof functions / sizeof functions[0]);
  define_global(the, "board");
}
