// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Uncertainty;
using MathNet.Numerics.Statistics;

namespace Fumecast.Emission;

/// <summary>Totals of a job for every draw of the figures; the same place in two jobs of one run belongs to the same draw.</summary>
internal sealed class EmissionDraws
{
    /// <summary>Ratios nearer to 1 than this differ by rounding only, and count as equal [-].</summary>
    private const double Rounding = 1e-9;

    private readonly Dictionary<Agent, double[]> _agents;

    internal EmissionDraws(Dictionary<Agent, double[]> agents, double depositedG)
    {
        _agents = agents;
        DepositedG = depositedG;
    }

    /// <summary>The agents.</summary>
    public IReadOnlyCollection<Agent> Agents => _agents.Keys;

    /// <summary>Deposited mass of the job [g].</summary>
    public double DepositedG { get; }

    /// <summary>Total of an agent for each draw, in its unit; empty when the job has no such agent.</summary>
    /// <param name="agent">The agent.</param>
    public ReadOnlySpan<double> TotalsOf(Agent agent) => _agents.TryGetValue(agent, out var found) ? found : [];

    /// <summary>Compares this job with a base: since both rest on the same draws, what they share cancels.</summary>
    /// <param name="basis">The job to compare with, from the same seed.</param>
    /// <param name="agent">The agent.</param>
    /// <param name="interval">Coverage, over 0 and below 1 [-].</param>
    /// <param name="perGram">Whether to compare what is given off for each gram.</param>
    /// <returns>This over the base; null when one of them has no such agent, gave off nothing, or, per gram, deposited nothing.</returns>
    public EmissionRatio? RatioTo(EmissionDraws basis, Agent agent, double interval, bool perGram)
    {
        ArgumentNullException.ThrowIfNull(basis);
        if (!_agents.TryGetValue(agent, out var mine) || !basis._agents.TryGetValue(agent, out var theirs)
            || !mine.Any(static total => total > 0) || !theirs.Any(static total => total > 0)
            || (perGram && !(DepositedG > 0 && basis.DepositedG > 0)))
        {
            return null;
        }

        var scale = perGram ? basis.DepositedG / DepositedG : 1;
        var ratios = new List<double>(mine.Length);
        var (lower, compared) = (0, 0);
        for (var i = 0; i < mine.Length; i++)
        {
            // A draw in which the base gives off nothing has no ratio: a nozzle at rest whose own share is drawn as 0. Which gives off less is told all the same.
            compared += mine[i] > 0 || theirs[i] > 0 ? 1 : 0;
            if (theirs[i] > 0)
            {
                ratios.Add(mine[i] / theirs[i] * scale);
                lower += ratios[^1] < 1 - Rounding ? 1 : 0;
            }
        }

        return new EmissionRatio(IntervalOf([.. ratios], interval), (double)lower / compared);
    }

    /// <summary>The median of the draws with the ends between which the stated share of them lies; reorders the draws.</summary>
    internal static Uncertain IntervalOf(double[] draws, double interval) => draws.Length == 0
        ? default
        : new Uncertain(
            ArrayStatistics.QuantileInplace(draws, (1 - interval) / 2),
            ArrayStatistics.MedianInplace(draws),
            ArrayStatistics.QuantileInplace(draws, (1 + interval) / 2));
}

/// <summary>One job against another.</summary>
/// <param name="Ratio">Ratio of the totals, or of the totals per gram [-].</param>
/// <param name="ProbabilityLower">Share of the draws in which the ratio is below 1, equal ones not counted [-].</param>
public sealed record EmissionRatio(Uncertain Ratio, double ProbabilityLower);
