"""The car on its wheels: where both arms come to rest, and how that moves with every constant.

Two arms on their bars and bushes, tyres below, and the rest of the car resisting lean. For each side
(hanging angle a, riding angle f, positive with the wheel below the bar):

    force at the wheel     F = (K (a - f) + B (rest - f)) / (r cos f) + k_anti (r sin f_other - r sin f),
                           B = bush ratio times K, k_anti this axle's own anti-roll bar, where it has one;
                           rest moved by what an adjuster at the arm turned (``carried`` below)
    height of the body     H = r sin f - F / k_tyre                           (less the mark's own offset)
    lean of the body       D = H_left + board_left - H_right - board_right - e
    equilibrium            F_left = W_left + k_roll D / 2,   F_right = W_right - k_roll D / 2

These are the stationary conditions of one potential energy, against which the tests check them. SI, radians.
The vector of constants is ordered as CONSTANTS says; rate, roll support and tyre enter by their logarithms, so
that a fit cannot make them negative. So does an anti-roll bar, which few of these axles have: it is given beside
them, and the derivatives by it stand by themselves.
"""

import math

__all__ = [
    "ALPHA_LEFT", "ALPHA_RIGHT", "ARM", "BUSH", "CONSTANTS", "LOAD_LEFT", "LOAD_RIGHT", "RATE", "ROLL", "TYRE",
    "UNEVEN", "Equilibrium", "equilibrium",
]  # fmt: skip

ALPHA_LEFT, ALPHA_RIGHT, RATE, ARM, BUSH, LOAD_LEFT, LOAD_RIGHT, ROLL, UNEVEN, TYRE = range(10)
CONSTANTS = 10
SCAN = 80
HALVINGS = 36
"""Steps of the slow search: enough to hand Newton's method a start, which then finds the rest to rounding."""
STEEPEST = 1.56
"""Largest arm angle considered, [rad]: just short of vertical, where the lever vanishes."""


class Equilibrium:
    """Where the arms rest in one pose, with exact derivatives by the constants.

    Attributes
    ----------
    phi, force, height : (2,) left and right: riding angle [rad], force at the wheel [N], r sin f - F/k_tyre [m]
    slope : (2,) dF/df at fixed constants [N/rad], negative where the arm is stable
    d_phi, d_force, d_height : (2, CONSTANTS) derivatives at equilibrium
    by_anti : (d_phi, d_force, d_height) : (2,) each, by the logarithm of the anti-roll bar's rate; () without one
    wound : (2,) what adjusters have added to the hanging angles, as the unknown gain has it, [rad]
    felt : (2,) the same as bar and bush feel it together: a hanging angle changed by that does as much, [rad]
    """

    def __init__(
        self,
        *,
        phi: tuple,
        force: tuple,
        height: tuple,
        slope: tuple,
        d_phi: tuple,
        d_force: tuple,
        d_height: tuple,
        by_anti: tuple = (),
    ) -> None:
        self.phi = phi
        self.force = force
        self.height = height
        self.slope = slope
        self.d_phi = d_phi
        self.d_force = d_force
        self.d_height = d_height
        self.by_anti = by_anti
        self.wound: tuple = (0.0, 0.0)
        self.felt: tuple = (0.0, 0.0)


def _arm_at_load(
    *, alpha: float, rate: float, bush: float, rest: float, arm: float, load: float
) -> float | None:
    """Riding angle of one arm under a known load, [rad]: the first rest met on being loaded from hanging.

    Scans up from the hanging angle for the first change of sign of the moment, then bisects. Slow and sure;
    Newton's method on both sides is tried first. None where the arm passes the vertical.
    """
    start = min(alpha, STEEPEST)
    before = None
    for i in range(SCAN + 1):
        phi = start - (start + STEEPEST) * i / SCAN
        moment = rate * (alpha - phi) + bush * (rest - phi) - load * arm * math.cos(phi)
        if moment >= 0.0:
            if before is None:
                return phi if i == 0 and moment == 0.0 else None
            low, high = phi, before
            for _ in range(HALVINGS):
                middle = 0.5 * (low + high)
                moment = rate * (alpha - middle) + bush * (rest - middle) - load * arm * math.cos(middle)
                if moment >= 0.0:
                    low = middle
                else:
                    high = middle
            return 0.5 * (low + high)
        before = phi
    return None


def _search(
    *,
    rate: float,
    bush: float,
    rest: tuple,
    arm: float,
    tyre: float,
    roll: float,
    alpha: tuple,
    load: tuple,
    lift: float,
    anti: float,
) -> list | None:
    """Riding angles by bisection on the load carried across from one side's bar to the other's; None if none are.

    ``lift`` is board_left - board_right - unevenness, [m].
    """

    def excess(across: float, phis: list) -> float:
        """Load across less what the lean at these angles and the anti-roll bar carry, [N]."""
        low = arm * math.sin(phis[0])
        high = arm * math.sin(phis[1])
        by_bar = anti * (low - high)
        left = low - (load[0] + across - by_bar) / tyre
        right = high - (load[1] - across + by_bar) / tyre
        return across - by_bar - 0.5 * roll * (left - right + lift)

    def angles(across: float) -> list:
        """Riding angles, None where that arm cannot carry its load."""
        forces = (load[0] + across, load[1] - across)
        return [
            _arm_at_load(alpha=alpha[s], rate=rate, bush=bush, rest=rest[s], arm=arm, load=forces[s])
            for s in (0, 1)
        ]

    low, high = -0.999 * load[0], 0.999 * load[1]
    phis: list = [None, None]
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        phis = angles(middle)
        if phis[0] is None and phis[1] is None:
            return None
        # An arm that cannot carry its load wants less of it.
        if phis[1] is None or (phis[0] is not None and excess(middle, phis) < 0.0):
            low = middle
        else:
            high = middle
    if phis[0] is None or phis[1] is None:
        return None
    # An end of the bracket is no rest: one wheel would leave the ground.
    if middle < -0.99 * load[0] or middle > 0.99 * load[1]:
        return None
    return phis


def equilibrium(
    *,
    constants: list,
    turn: tuple = (0.0, 0.0),
    rest: float,
    lift: float = 0.0,
    ballast: tuple = (0.0, 0.0),
    near: tuple | None = None,
    anti: float | None = None,
    wound: tuple = (0.0, 0.0),
    carried: bool = False,
    free: bool = False,
) -> Equilibrium | None:
    """Solve the pose by Newton's method with the exact 2 x 2 Jacobian; search where that fails.

    Parameters
    ----------
    constants : (>= CONSTANTS,) as ordered above
    turn : (2,) turns since the hanging angles in ``constants``, [rad]
    rest : angle at which the bushes are relaxed, [rad]
    lift : height of the board under the left tyre less the right one's, [m]
    ballast : (2,) load added to each spring, [N]
    near : (2,) riding angles to start from, optional, [rad]
    anti : logarithm of the anti-roll bar's rate, [N/m of difference between the hubs]; None without one
    wound : (2,) what of ``turn`` adjusters have added, [rad]
    carried : whether these turn the arm on what the bushes hold, so that a bush is not twisted by them: its rest
        goes along. An adjuster at the bar's outer end does; one at the inner end turns arm and bush alike.
    free : whether the rest of the car is carried amidships, so that it resists no lean: then neither its roll
        stiffness nor its unevenness matters, nor a board, and what is left against lean is this axle's own

    Returns
    -------
    Equilibrium, or None where the pose has no rest with both wheels loaded and both arms short of vertical.
    """
    rate = math.exp(constants[RATE])
    arm = constants[ARM]
    ratio = constants[BUSH]
    bush = ratio * rate
    roll = 0.0 if free else math.exp(constants[ROLL])
    tyre = math.exp(constants[TYRE])
    alpha_l = constants[ALPHA_LEFT] + turn[0]
    alpha_r = constants[ALPHA_RIGHT] + turn[1]
    load_l = constants[LOAD_LEFT] + ballast[0]
    load_r = constants[LOAD_RIGHT] + ballast[1]
    step_up = lift - constants[UNEVEN]
    stiffness = rate + bush
    half = 0.5 * roll
    across = 0.0 if anti is None else math.exp(anti)
    rest_l = rest + wound[0] if carried else rest
    rest_r = rest + wound[1] if carried else rest
    if near is None:
        phi_l = max(-1.2, min(1.2, alpha_l - load_l * arm / stiffness))
        phi_r = max(-1.2, min(1.2, alpha_r - load_r * arm / stiffness))
    else:
        phi_l, phi_r = near
    searched = False
    last = False
    for _ in range(60):
        cos_l = math.cos(phi_l)
        cos_r = math.cos(phi_r)
        sin_l = math.sin(phi_l)
        sin_r = math.sin(phi_r)
        lever_l = arm * cos_l
        lever_r = arm * cos_r
        bar_l = (rate * (alpha_l - phi_l) + bush * (rest_l - phi_l)) / lever_l
        bar_r = (rate * (alpha_r - phi_r) + bush * (rest_r - phi_r)) / lever_r
        slope_l = (bar_l * arm * sin_l - stiffness) / lever_l
        slope_r = (bar_r * arm * sin_r - stiffness) / lever_r
        # What goes across by the anti-roll bar, with both arms' share in it, is nothing where there is none.
        push = across * (arm * sin_r - arm * sin_l)
        push_l = across * lever_l
        push_r = across * lever_r
        force_l = bar_l + push
        force_r = bar_r - push
        own_l = slope_l - push_l
        own_r = slope_r - push_r
        height_l = arm * sin_l - force_l / tyre
        height_r = arm * sin_r - force_r / tyre
        rise_l = lever_l - own_l / tyre
        rise_r = lever_r - own_r / tyre
        cross_l = -push_l / tyre
        cross_r = -push_r / tyre
        lean_l = rise_l - cross_l
        lean_r = rise_r - cross_r
        lean = height_l - height_r + step_up
        miss_l = force_l - load_l - half * lean
        miss_r = force_r - load_r + half * lean
        j11 = own_l - half * lean_l
        j12 = push_r + half * lean_r
        j21 = push_l + half * lean_l
        j22 = own_r - half * lean_r
        det = j11 * j22 - j12 * j21
        if last:
            break
        if not det > 0.0 or slope_l >= 0.0 or slope_r >= 0.0:
            step_l = step_r = None
        else:
            step_l = (j22 * miss_l - j12 * miss_r) / det
            step_r = (j11 * miss_r - j21 * miss_l) / det
            largest = max(abs(step_l), abs(step_r))
            # Quadratic convergence: from 1e-7 one more step lands at rounding, and forces, slopes and heights
            # are then worked out once more at those very angles.
            last = largest < 1e-7
            if largest > 0.25:
                step_l *= 0.25 / largest
                step_r *= 0.25 / largest
            phi_l -= step_l
            phi_r -= step_r
        if step_l is None or abs(phi_l) > STEEPEST or abs(phi_r) > STEEPEST:
            if searched or load_l <= 0.0 or load_r <= 0.0:
                return None
            found = _search(
                rate=rate,
                bush=bush,
                rest=(rest_l, rest_r),
                arm=arm,
                tyre=tyre,
                roll=roll,
                alpha=(alpha_l, alpha_r),
                load=(load_l, load_r),
                lift=step_up,
                anti=across,
            )
            if found is None:
                return None
            phi_l, phi_r = found
            searched = True
    else:
        return None
    if force_l <= 0.0 or force_r <= 0.0:
        return None
    # Derivatives at fixed riding angles, then the implicit function theorem for the angles themselves.
    force = (force_l, force_r)
    size = CONSTANTS if anti is None else CONSTANTS + 1
    d_phi = ([0.0] * size, [0.0] * size)
    d_force = ([0.0] * size, [0.0] * size)
    d_height = ([0.0] * size, [0.0] * size)
    for s, phi, sin, lever, f, pushed, relaxed in (
        (0, phi_l, sin_l, lever_l, bar_l, push, rest_l),
        (1, phi_r, sin_r, lever_r, bar_r, -push, rest_r),
    ):
        df = d_force[s]
        dh = d_height[s]
        df[s] = rate / lever
        df[RATE] = f
        df[ARM] = -f / arm + pushed / arm
        df[BUSH] = rate * (relaxed - phi) / lever
        for k in (s, RATE, ARM, BUSH):
            dh[k] = -df[k] / tyre
        dh[ARM] += sin
        dh[TYRE] = force[s] / tyre
        if anti is not None:
            df[CONSTANTS] = pushed
            dh[CONSTANTS] = -pushed / tyre
    for k in range(size):
        d_lean = d_height[0][k] - d_height[1][k]
        r_l = d_force[0][k]
        r_r = d_force[1][k]
        if k == UNEVEN:
            d_lean -= 1.0
        elif k == ROLL:
            r_l -= half * lean
            r_r += half * lean
        elif k == LOAD_LEFT:
            r_l -= 1.0
        elif k == LOAD_RIGHT:
            r_r -= 1.0
        r_l -= half * d_lean
        r_r += half * d_lean
        dp_l = (j12 * r_r - j22 * r_l) / det
        dp_r = (j21 * r_l - j11 * r_r) / det
        d_phi[0][k] = dp_l
        d_phi[1][k] = dp_r
        d_force[0][k] += own_l * dp_l + push_r * dp_r
        d_force[1][k] += own_r * dp_r + push_l * dp_l
        d_height[0][k] += rise_l * dp_l + cross_r * dp_r
        d_height[1][k] += rise_r * dp_r + cross_l * dp_l
    by_anti: tuple = ()
    if anti is not None:
        by_anti = tuple([(pair[0].pop(), pair[1].pop()) for pair in (d_phi, d_force, d_height)])
    out = Equilibrium(
        phi=(phi_l, phi_r),
        force=force,
        height=(height_l, height_r),
        slope=(slope_l, slope_r),
        d_phi=d_phi,
        d_force=d_force,
        d_height=d_height,
        by_anti=by_anti,
    )
    out.wound = wound
    out.felt = tuple([w * (1.0 + ratio) for w in wound]) if carried else wound
    return out
