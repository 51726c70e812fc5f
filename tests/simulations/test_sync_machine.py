"""The household in every kind of trouble: 20 examples of 50 steps, 200 with `--long`; `--seed N` for others."""

from hypothesis import HealthCheck, Phase, seed, settings
from hypothesis.stateful import run_state_machine_as_test
from sync_machine import SyncMachine

STEPS = 50


def run_machine(machine, examples: int, from_seed: int, *, phases=tuple(Phase)) -> None:
    """Run so many examples; any broken promise raises, with the steps that led there."""
    print(f"seed {from_seed}: {examples} examples of {STEPS} steps")
    run_state_machine_as_test(
        seed(from_seed)(machine),
        settings=settings(
            max_examples=examples,
            stateful_step_count=STEPS,
            deadline=None,
            database=None,
            phases=phases,
            suppress_health_check=list(HealthCheck),
        ),
    )


def test_none_is_lost_and_none_is_doubled_whatever_happens_between_phone_and_home(full_size, request):
    run_machine(SyncMachine, 200 if full_size else 20, request.config.getoption("--seed"))
