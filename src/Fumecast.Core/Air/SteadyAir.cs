// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using MathNet.Numerics.LinearAlgebra;

namespace Fumecast.Air;

/// <summary>Levels that settle in when sources and air stay as they are, and the clean air that keeps them below a level.</summary>
internal static class SteadyAir
{
    private const double MostCleanAirM3PerH = 1e6;
    private const double CloseEnough = 1e-5;
    private const int MostTries = 100;

    /// <summary>Levels in every zone that sources settle to.</summary>
    /// <param name="model">The air, with its background.</param>
    /// <param name="agent">The agent; the number of particles without coagulation.</param>
    /// <param name="sourcePerS">What the print gives off in each zone [unit of the agent for each s].</param>
    /// <param name="timeS">Time of the schedules [s].</param>
    /// <param name="clock">What they are counted from.</param>
    /// <returns>Levels [unit of the agent for each m3]; null when some zone loses nothing, so that its level rises for ever.</returns>
    public static double[]? LevelsPerM3(AirModel model, Agent agent, ReadOnlySpan<double> sourcePerS, double timeS = 0, RunClock clock = default)
    {
        model.Validate();
        var rates = new AirRates(model, agent);
        rates.SetTo(timeS, clock);
        var (zones, sources) = (rates.Zones, new double[rates.Zones]);
        for (var i = 0; i < zones; i++)
        {
            sources[i] = sourcePerS[i] + rates.EnteringPerS[i] + model.Indoors.Where(s => s.Agent == agent && model.IndexOf(s.Zone) == i).Sum(static s => s.PerS);
        }

        // In levels instead of amounts, and rows over volumes, so that a box beside a hall does not spoil the digits.
        var matrix = Matrix<double>.Build.Dense(zones, zones, (i, j) => -rates.PerS[i * zones + j] * model.Zones[j].VolumeM3);
        if (!LosesEverywhere(rates))
        {
            return null;
        }

        return matrix.Solve(Vector<double>.Build.Dense(sources)).ToArray();
    }

    /// <summary>Clean air to a zone that holds the steady level there at another: exact for any number of zones.</summary>
    /// <param name="model">The air; its background counts to the level.</param>
    /// <param name="agent">The agent.</param>
    /// <param name="sourcePerS">What the print gives off in each zone [unit of the agent for each s].</param>
    /// <param name="zone">Id of the zone.</param>
    /// <param name="levelPerM3">The level [unit of the agent for each m3], over 0.</param>
    /// <returns>Clean air [m3/h]; 0 when none is needed; null when the level rises for ever without.</returns>
    /// <remarks>Clean air x divides the level by 1 + x G, with G the level that one unit of source in the zone makes there. For one zone this is air reference, (4.5), turned round.</remarks>
    public static double? CleanAirM3PerH(AirModel model, Agent agent, ReadOnlySpan<double> sourcePerS, string zone, double levelPerM3)
    {
        var unit = new double[model.Zones.Count];
        var at = model.IndexOf(zone);
        unit[at] = 1;
        return LevelsPerM3(model, agent, sourcePerS) is { } levels && LevelsPerM3(model.WithoutBackground(), agent, unit) is { } response
            ? Math.Max(0, (levels[at] / levelPerM3 - 1) / response[at] * 3600)
            : null;
    }

    /// <summary>Clean air that keeps any figure of a run at a level: a peak, a moving mean.</summary>
    /// <param name="figureOf">The figure for an amount of clean air [m3/h]; falls as that rises.</param>
    /// <param name="level">The level, over 0, in the unit of the figure.</param>
    /// <param name="closeEnough">How far off the figure may be, as a share of what it lies over the level without [-].</param>
    /// <returns>Clean air [m3/h], by default to 1e-4 of it; 0 when none is needed, null when 1e6 m3/h do not do.</returns>
    public static double? CleanAirM3PerH(Func<double, double> figureOf, double level, double closeEnough = CloseEnough)
    {
        // One over the figure rises with clean air, nearly straight, from what it is without.
        var without = level / figureOf(0);
        if (!(without < 1))
        {
            return 0;
        }

        var (low, atLow, high, atHigh) = (0.0, without, double.PositiveInfinity, double.PositiveInfinity);
        var (next, sides) = (1.0, 0);
        for (var i = 0; i < MostTries; i++)
        {
            var at = level / figureOf(next);
            if (Math.Abs(1 - at) <= closeEnough * (1 - without))
            {
                return next;
            }

            if (at < 1)
            {
                if (next >= MostCleanAirM3PerH)
                {
                    return null;
                }

                // An end that stays twice counts for half, so that it moves as well.
                sides = Math.Max(1, sides + 1);
                (low, atLow) = (next, at);
                atHigh = sides > 1 && double.IsFinite(high) ? 1 + (atHigh - 1) / 2 : atHigh;
            }
            else
            {
                sides = Math.Min(-1, sides - 1);
                (high, atHigh) = (next, at);
                atLow = sides < -1 ? 1 - (1 - atLow) / 2 : atLow;
            }

            next = double.IsFinite(high)
                ? low + (high - low) * ((1 - atLow) / (atHigh - atLow))
                : Math.Min(MostCleanAirM3PerH, next * Math.Clamp(1.05 * (1 - without) / Math.Max(at - without, 1e-9), 1.5, 100));
            if (double.IsFinite(high) && high - low <= closeEnough * high)
            {
                return high;
            }
        }

        return high;
    }

    // A zone from which no way leads to a loss fills for ever.
    private static bool LosesEverywhere(AirRates rates)
    {
        var zones = rates.Zones;
        var loses = new bool[zones];
        for (var round = 0; round < zones; round++)
        {
            for (var j = 0; j < zones; j++)
            {
                loses[j] |= rates.VentedPerS[j] + rates.DepositedPerS[j] + rates.FilteredPerS[j] > 0
                    || Enumerable.Range(0, zones).Any(i => i != j && loses[i] && rates.PerS[i * zones + j] > 0);
            }
        }

        return loses.All(static l => l);
    }
}
