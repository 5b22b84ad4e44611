"""The order of playing (common practice, no source; repeats are not taken again after a jump)."""

from hypothesis import given
from hypothesis import strategies as st

from engrave.theory.repeats import GoBack, RepeatInfo, check_structure, unfold

R = RepeatInfo


def order(*measures):
    return "".join("ABCDEFGH"[i] for i in unfold(measures))


def test_a_simple_repeat():
    assert order(R(start=True, end_times=2), R()) == "AAB"


def test_two_endings():
    assert order(R(start=True), R(ending=(1,), end_times=2), R(ending=(2,))) == "ABAC"


def test_three_times_with_endings():
    assert order(R(start=True), R(ending=(1, 2), end_times=3), R(ending=(3,))) == "ABABAC"


def test_a_repeat_that_starts_in_the_last_ending():
    last = R(ending=(2,), start=True), R(ending=(2,))
    assert order(R(start=True), R(ending=(1,), end_times=2), *last, R(end_times=2), R()) == "ABACDECDEF"


def test_da_capo_al_fine():
    assert order(R(), R(fine=True), R(go_back=GoBack.DA_CAPO_AL_FINE)) == "ABCAB"


def test_dal_segno_al_coda():
    measures = (R(), R(segno=True, to_coda=True), R(go_back=GoBack.DAL_SEGNO_AL_CODA), R(coda=True))
    assert order(*measures) == "ABCBD"


def test_repeats_are_not_taken_again():
    measures = (
        R(start=True, end_times=2),
        R(fine=True),
        R(start=True, end_times=2, go_back=GoBack.DA_CAPO_AL_FINE),
    )
    assert order(*measures) == "AABCCAB"


def test_a_repeat_without_a_start_goes_to_the_beginning():
    assert order(R(), R(end_times=2), R()) == "ABABC"


def test_after_a_jump_only_the_last_ending_is_played():
    measures = (
        R(start=True),
        R(ending=(1,), end_times=2),
        R(ending=(2,), fine=True),
        R(go_back=GoBack.DA_CAPO_AL_FINE),
    )
    assert order(*measures) == "ABACDAC"


def test_jumps_that_lead_nowhere_are_named():
    problems = check_structure((R(), R(go_back=GoBack.DAL_SEGNO_AL_CODA)))
    assert [p[0] for p in problems] == [1, 1, 1]
    assert any("segno: true" in p[2] for p in problems)
    assert any("to-coda: true" in p[2] for p in problems)


def test_endings_that_lead_nowhere_are_named():
    assert check_structure((R(start=True), R(ending=(1,)), R(ending=(2,))))
    assert check_structure((R(start=True), R(ending=(2,), end_times=2)))
    assert not check_structure((R(start=True), R(ending=(1,), end_times=2), R(ending=(2,))))


infos = st.builds(
    R,
    start=st.booleans(),
    end_times=st.sampled_from([None, None, 2, 3]),
    ending=st.sampled_from([(), (), (1,), (2,)]),
    segno=st.booleans(),
    coda=st.booleans(),
    to_coda=st.booleans(),
    fine=st.booleans(),
    go_back=st.sampled_from([None, None, *GoBack]),
)


@given(st.lists(infos, max_size=8))
def test_unfolding_always_ends(measures):
    played = unfold(measures)
    assert all(0 <= i < len(measures) for i in played)
    assert len(played) <= 64 * (len(measures) + 1)
