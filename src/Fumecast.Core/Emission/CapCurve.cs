// SPDX-License-Identifier: MIT
namespace Fumecast.Emission;

/// <summary>Moments of one particle rate, for a cap on that rate.</summary>
/// <param name="TimeS">How long they last [s].</param>
/// <param name="WarmUpG">What they give off before the first deposit, over the yield [g].</param>
/// <param name="PrintingG">The same while depositing [g].</param>
/// <param name="IdleHotG">The same without deposit, after the first one [g].</param>
internal readonly record struct CapCell(double TimeS, double WarmUpG, double PrintingG, double IdleHotG)
{
    /// <summary>All of it [g].</summary>
    public double WholeG => WarmUpG + PrintingG + IdleHotG;
}

/// <summary>How the particles of a job grow with the yield where the cap holds back ever more of its moments.</summary>
/// <remarks>
/// In proportion to the yield up to the first moment that meets the cap; from there on kept at yields that grow by a fixed ratio, exact at each and
/// straight in logarithms between them, which errs by 1 % at most for steps of 0.25. Nothing is kept beyond the highest yield that matters.
/// </remarks>
internal sealed class CapCurve
{
    private const double FinestStep = 0.25;
    private const int MostSteps = 48;
    private const int Phases = 4;

    private readonly double _logFirstYield;
    private readonly double _step;
    private readonly double[][] _logAmounts = new double[Phases][];

    private CapCurve(double logFirstYield, double step, int count)
    {
        _logFirstYield = logFirstYield;
        _step = step;
        for (var phase = 0; phase < Phases; phase++)
        {
            _logAmounts[phase] = new double[count];
        }
    }

    /// <summary>Makes the curve of a job.</summary>
    /// <param name="cells">The moments of the job, by rate; without the start doses that are given apart.</param>
    /// <param name="doses">Start doses of which the cap keeps in the nozzle what it does not let out; none where the moments hold all.</param>
    /// <param name="capPerS">Highest rate [1/s].</param>
    /// <param name="highestYieldPerG">Highest yield that matters [1/g].</param>
    /// <returns>The curve; null where no moment meets the cap up to the highest yield.</returns>
    public static CapCurve? Of(ReadOnlySpan<CapCell> cells, ReadOnlySpan<DoseUnderCap> doses, double capPerS, double highestYieldPerG)
    {
        double highestG = 0;
        foreach (ref readonly var cell in cells)
        {
            highestG = cell.WholeG > 0 ? Math.Max(highestG, cell.WholeG / cell.TimeS) : highestG;
        }

        foreach (var dose in doses)
        {
            highestG = Math.Max(highestG, dose.HighestGPerS);
        }

        var span = Math.Log(highestG * highestYieldPerG / capPerS);
        if (!(span > 0))
        {
            return null;
        }

        var steps = (int)Math.Clamp(Math.Ceiling(span / FinestStep), 1, MostSteps);
        var curve = new CapCurve(Math.Log(capPerS / highestG), span / steps, steps + 1);
        curve.Fill(cells, doses, capPerS, highestG, steps);
        return curve;
    }

    /// <summary>Logarithm of the yield up to which all is in proportion to it.</summary>
    public double LogFirstYield => _logFirstYield;

    /// <summary>Logarithm of the amount at a yield at or above the first.</summary>
    public double LogAmount(EmissionPhase phase, double logYield)
    {
        var amounts = _logAmounts[(int)phase];
        var at = Math.Clamp((logYield - _logFirstYield) / _step, 0, amounts.Length - 1);
        var below = (int)Math.Min(at, amounts.Length - 2);
        return double.IsInfinity(amounts[below + 1]) ? amounts[below + 1] : double.Lerp(amounts[below], amounts[below + 1], at - below);
    }

    /// <summary>Logarithm of the yield that gives an amount at or above that of the first yield; infinite for one that no yield gives.</summary>
    public double LogYield(EmissionPhase phase, double logAmount)
    {
        var amounts = _logAmounts[(int)phase];
        if (!(logAmount < amounts[^1]))
        {
            return double.PositiveInfinity;
        }

        var above = Array.BinarySearch(amounts, logAmount);
        above = above < 0 ? ~above : above;
        if (above == 0)
        {
            return _logFirstYield;
        }

        var rise = amounts[above] - amounts[above - 1];
        return _logFirstYield + (_step * (above - (rise > 0 ? (amounts[above] - logAmount) / rise : 0)));
    }

    private void Fill(ReadOnlySpan<CapCell> cells, ReadOnlySpan<DoseUnderCap> doses, double capPerS, double highestG, int steps)
    {
        // Time at the cap and amount below it, by phase: moments that meet it within step i, so from the edge above on.
        Span<double> capped = stackalloc double[Phases * (MostSteps + 1)];
        Span<double> free = stackalloc double[Phases * (MostSteps + 1)];
        capped.Clear();
        free.Clear();
        foreach (ref readonly var cell in cells)
        {
            var whole = cell.WholeG;
            if (!(whole > 0))
            {
                continue;
            }

            var at = Phases * (int)Math.Clamp(Math.Log(highestG * cell.TimeS / whole) / _step, 0, steps);
            var timePerG = cell.TimeS / whole;
            Add(at, cell.WarmUpG, timePerG, capped, free);
            Add(at + 1, cell.PrintingG, timePerG, capped, free);
            Add(at + 2, cell.IdleHotG, timePerG, capped, free);
            Add(at + 3, whole, timePerG, capped, free);
        }

        for (var phase = 0; phase < Phases; phase++)
        {
            var freeG = 0.0;
            for (var i = steps; i >= 0; i--)
            {
                freeG += free[(Phases * i) + phase];
                _logAmounts[phase][i] = freeG * YieldAt(i);
            }

            var timeS = 0.0;
            for (var i = 0; i <= steps; i++)
            {
                _logAmounts[phase][i] += capPerS * timeS;
                timeS += capped[(Phases * i) + phase];
            }
        }

        foreach (var dose in doses)
        {
            AddDose(dose, capPerS);
        }

        for (var i = 0; i <= steps; i++)
        {
            for (var phase = 0; phase < Phases; phase++)
            {
                _logAmounts[phase][i] = Math.Log(_logAmounts[phase][i]);
            }
        }

        double YieldAt(int i) => Math.Exp(_logFirstYield + (_step * i));

        // For the dose every other yield does: what leaves it over the yield bends far less than the whole.
        void AddDose(DoseUnderCap dose, double capPerS)
        {
            var before = dose.ReleasedG(capPerS / YieldAt(0));
            AddAt(0, before);
            for (var i = 1; i <= steps; i += 2)
            {
                var to = Math.Min(i + 1, steps);
                var next = dose.ReleasedG(capPerS / YieldAt(to));
                if (to > i)
                {
                    AddAt(i, ((before.WarmUpG + next.WarmUpG) / 2, (before.PrintingG + next.PrintingG) / 2, (before.IdleHotG + next.IdleHotG) / 2));
                }

                AddAt(to, next);
                before = next;
            }
        }

        void AddAt(int i, (double WarmUpG, double PrintingG, double IdleHotG) released)
        {
            var yieldPerG = YieldAt(i);
            _logAmounts[0][i] += yieldPerG * released.WarmUpG;
            _logAmounts[1][i] += yieldPerG * released.PrintingG;
            _logAmounts[2][i] += yieldPerG * released.IdleHotG;
            _logAmounts[3][i] += yieldPerG * (released.WarmUpG + released.PrintingG + released.IdleHotG);
        }

        static void Add(int at, double amountG, double timePerG, Span<double> capped, Span<double> free)
        {
            capped[at] += amountG * timePerG;
            free[at] += amountG;
        }
    }
}
