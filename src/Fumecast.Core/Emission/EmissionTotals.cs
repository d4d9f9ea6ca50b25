// SPDX-License-Identifier: MIT
using Fumecast.Uncertainty;

namespace Fumecast.Emission;

/// <summary>Totals of a job with their intervals, over draws of all figures.</summary>
internal sealed class EmissionTotals
{
    private const double WideGsd = 1.5;

    private readonly AgentMix[] _agents;
    private readonly EmissionOptions _options;
    private readonly ToolEmission[] _tools;
    private readonly Dictionary<string, MaterialDraws> _particleDraws;
    private readonly Dictionary<string, MaterialDraws> _vapourDraws;
    private readonly Uncertain[] _totals;

    /// <summary>Draws the totals of a job so far.</summary>
    public EmissionTotals(AgentMix[] agents, ToolEmission[] tools, EmissionOptions options)
    {
        (_agents, _tools, _options) = (agents, tools, options);
        _particleDraws = DrawMaterials(FinenessFor(static material => material.NumberYieldPerG), ofParticles: true);
        _vapourDraws = DrawMaterials(FinenessFor(static material => material.TvocYieldUgPerG), ofParticles: false);
        _totals = Array.ConvertAll(agents, agent => Draw(agent, EmissionPhase.Whole)?.Interval(options.Interval) ?? default);
    }

    /// <summary>The result of one agent.</summary>
    /// <param name="index">Its place.</param>
    /// <param name="depositedG">Deposited mass of the whole job [g].</param>
    /// <param name="peakPerMin">Highest rate of a bin.</param>
    /// <param name="peakAtS">When that was [s].</param>
    public AgentEmission Result(int index, double depositedG, Uncertain peakPerMin, double peakAtS)
    {
        var agent = _agents[index];
        var total = _totals[index];
        var scale = ScaleOf(index);
        var figures = agent.FiguresThatCount().ToArray();
        return new AgentEmission
        {
            Agent = agent.Agent,
            Interval = _options.Interval,
            Total = total,
            PerGram = depositedG > 0 ? new Uncertain(total.Low / depositedG, total.Median / depositedG, total.High / depositedG) : null,
            PeakPerMin = peakPerMin,
            PeakAtS = peakAtS,
            WarmUp = Phase(EmissionPhase.WarmUp),
            Printing = Phase(EmissionPhase.Printing),
            IdleHot = Phase(EmissionPhase.IdleHot),
            Grade = figures.Length > 0 ? figures.Max(f => f.Origin.Grade)! : "D",
            ExtrapolatedShare = agent.OutsideShare(),
            Sources = [.. figures.SelectMany(f => f.Origin.Sources).Distinct()],
            HowSure = EmissionWords.HowSure(total, _options.Interval),
        };

        // The middle of a phase is its share of the middle total, so that the phases sum to it.
        Uncertain Phase(EmissionPhase phase)
        {
            if (Draw(agent, phase) is not { } drawn)
            {
                return default;
            }

            var median = agent.Amount(phase) * scale;
            return new Uncertain(
                Math.Min(drawn.Quantile((1 - _options.Interval) / 2), median), median, Math.Max(drawn.Quantile((1 + _options.Interval) / 2), median));
        }
    }

    /// <summary>The rates of single bins, such that they sum to the totals.</summary>
    public BinRates Rates()
    {
        var scales = new double[_agents.Length];
        for (var i = 0; i < scales.Length; i++)
        {
            scales[i] = ScaleOf(i);
        }

        return new BinRates(_agents, _tools, scales, _options.Interval, material => FiguresOf(material, StandardDraws.Coarse(material.Id, _options.Seed)));
    }

    /// <summary>The totals of every draw.</summary>
    /// <param name="depositedG">Deposited mass of the whole job [g].</param>
    public EmissionDraws Draws(double depositedG)
    {
        var (particles, vapours) = (DrawMaterials(StandardDraws.Fine, ofParticles: true), DrawMaterials(StandardDraws.Fine, ofParticles: false));
        return new EmissionDraws(_agents.ToDictionary(static agent => agent.Agent, agent => DrawsOf(agent, agent.Agent.IsParticles ? particles : vapours)), depositedG);
    }

    private Dictionary<string, MaterialDraws> DrawMaterials(Func<string, long, StandardDraws> deviates, bool ofParticles) => _tools
        .GroupBy(static tool => tool.Material.Id)
        .ToDictionary(
            static group => group.Key,
            group => JobDraws.Of([.. group], FiguresOf(group.First().Material, deviates(group.Key, _options.Seed)), _options.Interval, ofParticles));

    /// <summary>Figures are drawn once for each material, so that its tools and all jobs of a run share them.</summary>
    private static FigureDraws FiguresOf(Material material, StandardDraws deviates) => new(material, deviates);

    private double ScaleOf(int index)
    {
        var middle = _agents[index].Amount(EmissionPhase.Whole);
        return middle > 0 ? _totals[index].Median / middle : 1;
    }

    /// <summary>Few points do where a single, wide yield bears on an agent.</summary>
    private Func<string, long, StandardDraws> FinenessFor(Func<Material, Figure> yield) =>
        _tools.DistinctBy(static tool => tool.Material.Id).Count() <= 1 && _tools.All(tool => yield(tool.Material).Gsd > WideGsd)
            ? StandardDraws.Usual
            : StandardDraws.Fine;

    /// <summary>A phase of an agent over all draws; null when it has none.</summary>
    private DrawnAmount? Draw(AgentMix agent, EmissionPhase phase) => agent.Amount(phase) > 0
        ? DrawnAmount.Of(agent.Parts, part => part.Amount(part.Tool.Total, phase), agent.Agent.IsParticles ? _particleDraws : _vapourDraws, phase)
        : null;

    private static double[] DrawsOf(AgentMix agent, Dictionary<string, MaterialDraws> draws)
    {
        double[] sum = [];
        foreach (var part in agent.Parts.DistinctBy(static part => part.Tool.Material.Id))
        {
            var material = draws[part.Tool.Material.Id];
            var yields = material.YieldDraws(part);
            sum = sum.Length > 0 ? sum : new double[yields.Length];
            material.Curves.AddTo(sum, EmissionPhase.Whole, yields, material.Factor(part));
        }

        return sum;
    }
}
