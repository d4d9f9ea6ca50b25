// SPDX-License-Identifier: MIT
namespace Fumecast.Heat;

/// <summary>How long a job stands still for a heater, by the rules of the firmware families.</summary>
/// <remarks>
/// Each rule returns seconds from now, 0 when there is nothing to wait for, and infinity when the heater can never get there
/// (too little power): the caller reports that. Waiting does not change the heater; advance it by the result.
/// Source of the rules: gcode reference, 6.4; check H7.
/// </remarks>
internal static class HeaterWait
{
    /// <summary>The residency rule: once within a window of the target a clock starts, and the wait ends when it has run out.</summary>
    /// <param name="heater">The heater with its target set; off means no wait.</param>
    /// <param name="windowK">Half width of the window [K], 0 or more.</param>
    /// <param name="residencyS">Time of the clock [s], 0 or more. It starts anew with every command, so an already hot block costs it again.</param>
    /// <param name="whileCooling">Whether a block above its target is waited for too; otherwise it is no wait at all.</param>
    /// <param name="fanShare">Fan speed as a share of full [-].</param>
    /// <returns>Time [s], may be infinite.</returns>
    public static double ResidencyS(Heater heater, double windowK, double residencyS, bool whileCooling, double fanShare = 0)
    {
        ArgumentNullException.ThrowIfNull(heater);
        return NothingToWaitFor(heater, whileCooling) ? 0 : UntilWithinS(heater, windowK, fanShare) + residencyS;
    }

    /// <summary>The band rule: the wait ends as soon as the temperature is close enough.</summary>
    /// <param name="heater">The heater with its target set; off means no wait.</param>
    /// <param name="bandK">Half width of the band [K], 0 or more.</param>
    /// <param name="minTargetC">Targets below this are never waited for [degC].</param>
    /// <param name="whileCooling">Whether a block above its target is waited for too.</param>
    /// <param name="fanShare">Fan speed as a share of full [-].</param>
    /// <returns>Time [s], may be infinite.</returns>
    public static double BandS(Heater heater, double bandK, double minTargetC, bool whileCooling, double fanShare = 0)
    {
        ArgumentNullException.ThrowIfNull(heater);
        return NothingToWaitFor(heater, whileCooling) || heater.TargetC < minTargetC ? 0 : UntilWithinS(heater, bandK, fanShare);
    }

    /// <summary>The settling rule: the wait ends a time after the temperature came close, heating or cooling.</summary>
    /// <param name="heater">The heater with its target set; off means no wait.</param>
    /// <param name="windowK">Half width of the window [K], 0 or more.</param>
    /// <param name="settleS">Time to settle [s], 0 or more. Unlike a residency it also runs while nobody waits.</param>
    /// <param name="fanShare">Fan speed as a share of full [-].</param>
    /// <returns>Time [s], may be infinite.</returns>
    public static double SettleS(Heater heater, double windowK, double settleS, double fanShare = 0)
    {
        ArgumentNullException.ThrowIfNull(heater);
        return heater.TargetC is null ? 0
            : heater.HeldS > 0 ? Math.Max(0, settleS - heater.HeldS)
            : UntilWithinS(heater, windowK, fanShare) + settleS;
    }

    /// <summary>The plain rule: the wait ends when the temperature first lies between two bounds.</summary>
    /// <param name="heater">The heater; its target may be anything.</param>
    /// <param name="minimumC">Lower bound, or null for none [degC].</param>
    /// <param name="maximumC">Upper bound, or null for none [degC].</param>
    /// <param name="fanShare">Fan speed as a share of full [-].</param>
    /// <returns>Time [s], may be infinite.</returns>
    public static double BetweenS(Heater heater, double? minimumC, double? maximumC, double fanShare = 0)
    {
        ArgumentNullException.ThrowIfNull(heater);
        return minimumC > maximumC ? double.PositiveInfinity
            : heater.TemperatureC < minimumC ? heater.SecondsUntil(minimumC.Value, fanShare, 0)
            : heater.TemperatureC > maximumC ? heater.SecondsUntil(maximumC.Value, fanShare, 0)
            : 0;
    }

    private static bool NothingToWaitFor(Heater heater, bool whileCooling) =>
        heater.TargetC is null || (!whileCooling && heater.TemperatureC > heater.TargetC);

    private static double UntilWithinS(Heater heater, double halfWidthK, double fanShare) =>
        BetweenS(heater, heater.TargetC - halfWidthK, heater.TargetC + halfWidthK, fanShare);
}
