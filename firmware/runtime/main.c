/* Boot order and the one loop; the order's reasons are in README.md. */
#include "board_map.h"
#include "bridge.h"
#include "clock_watch.h"
#include "clocks.h"
#include "engine.h"
#include "flash.h"
#include "pins.h"
#include "processor.h"
#include "restart.h"
#include "safety.h"
#include "script_time.h"
#include "timer.h"
#include "uart.h"
#include "unfit_flash.h"
#include "usb.h"
#include "watchdog.h"

/* A start that keeps failing would wear out the journal: from the third on, wait with the lamp blinking. */
#define FAULTS_BEFORE_PAUSE 3u
#define PAUSE_MS 5000u
#define PAUSE_BLINK_MS 100u
#define HEALTHY_AFTER_TICKS 60u
/* A host has got to know the board by then, and one that asks all the time must not keep flash from being erased ahead. */
#define REST_PUT_OFF_TICKS_MAX 10u
/* Received bytes handed to JavaScript in one call. */
#define PIECE_BYTES 256u

static void pause_after_faults(void) {
  if (restart_faults_in_row() < FAULTS_BEFORE_PAUSE) {
    return;
  }
  uint64_t until_ms = timer_ms() + PAUSE_MS;
  while (timer_ms() < until_ms) {
    pin_set(PIN_LAMP, timer_ms() / PAUSE_BLINK_MS % 2 == 0);
    sleep_until_interrupt(); /* the safety step wakes it */
  }
  pin_set(PIN_LAMP, false);
}

static void feed_watchdog(void) {
  watchdog_feed();
  script_time_fed();
}

/*
 * One request of each door at most: its reply must find room before the next is looked at. None when the watchdog has
 * waited so long that a tick must come first.
 */
static void serve_doors(void) {
  static uint8_t piece[PIECE_BYTES];
  if (usb_waiting() && script_time_has_room()) {
    engine_receive(DOOR_USB, piece, usb_receive(piece, sizeof piece));
  }
  if (uart_waiting() && script_time_has_room()) {
    engine_receive(DOOR_UART, piece, uart_receive(piece, sizeof piece));
  }
}

/* Erases keep a host waiting that gets to know the board. */
static bool may_rest(void) {
  static uint32_t ticks_put_off;
  bool may = usb_settled() || ticks_put_off == REST_PUT_OFF_TICKS_MAX;
  ticks_put_off = may ? 0 : ticks_put_off + 1;
  return may;
}

/* Until something interrupts. Checked with interrupts masked, so that nothing slips in between. */
static void sleep_unless_work(uint64_t next_tick_ms) {
  uint32_t primask = interrupts_off();
  if (!usb_waiting() && !uart_waiting() && timer_ms() < next_tick_ms) {
    sleep_until_interrupt();
  }
  interrupts_restore(primask);
}

int main(void) {
  restart_read();
  watchdog_start();
  clocks_start();
  safety_start(restart_kept_pump_ms());
  timer_start(safety_step);
  clock_watch_start();
  bridge_start();
  uart_start();
  flash_start();
  usb_start();
  if (!flash_fits()) {
    unfit_flash();
  }
  pause_after_faults();
  feed_watchdog();
  engine_start();
  safety_limits_end();
  feed_watchdog();

  uint64_t next_tick_ms = timer_ms();
  uint32_t healthy_ticks = 0;
  for (;;) {
    if (timer_ms() >= next_tick_ms) {
      next_tick_ms += TICK_MS;
      engine_tick();
      if (safety_has_stepped()) {
        feed_watchdog();
      }
      if (++healthy_ticks == HEALTHY_AFTER_TICKS) {
        restart_forget_faults();
      }
      if (may_rest()) {
        engine_rest();
      }
      usb_watch();
    }
    serve_doors();
    sleep_unless_work(next_tick_ms);
  }
}
