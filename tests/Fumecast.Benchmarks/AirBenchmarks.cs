// SPDX-License-Identifier: MIT
using BenchmarkDotNet.Attributes;
using Fumecast.Aerosol;
using Fumecast.Forecast;

namespace Fumecast.Benchmarks;

/// <summary>A day of air: a source in steps of a second over 24 h, five zones, ten agents, all draws; must take 3 s at most on two cores.</summary>
[MemoryDiagnoser]
public class AirBenchmarks
{
    private const int Seconds = 86_400;

    private static readonly Agent[] Agents =
    [
        Agent.ParticleNumber, Agent.ParticleMass, Agent.Tvoc,
        .. Enumerable.Range(1, 7).Select(static i => new Agent($"substance_{i}", $"substance {i}", "ug")),
    ];

    private string _room = "";

    /// <summary>Writes the room.</summary>
    [GlobalSetup]
    public void Write()
    {
        _room = Path.Combine(Path.GetTempPath(), Path.GetRandomFileName() + ".yaml");
        File.WriteAllText(_room, Room);
    }

    /// <summary>Takes it away again.</summary>
    [GlobalCleanup]
    public void Delete() => File.Delete(_room);

    /// <summary>The whole forecast.</summary>
    [Benchmark]
    public double Day() => AirForecast.OfSources([Source()], new AirOptions { Room = _room }).Zones[0].Agents[0].Peak.High;

    private static GivenSource Source() => new() { Agents = Agents, Steps = Steps(), Gsd = Agents.ToDictionary(static agent => agent, static agent => agent.IsParticles ? 4.0 : 2.5) };

    private static IEnumerable<(double, IReadOnlyList<double>)> Steps()
    {
        var perS = new double[Agents.Length];
        for (var s = 0; s < Seconds; s++)
        {
            // Layers of some minutes, and a start that is stronger.
            var rate = (1 + 0.5 * Math.Sin(s / 40.0)) * (1 + 5 * Math.Exp(-s / 600.0));
            perS[0] = 2e8 * rate;
            perS[1] = perS[0] * new ParticleSize(35, 1.75).MeanMassUg(1.1);
            for (var a = 2; a < perS.Length; a++)
            {
                perS[a] = rate / a;
            }

            yield return (1, perS);
        }
    }

    private const string Room = """
        schema: fumecast/room/1
        id: five-rooms
        description: a printer's box in a workshop, with a hall, a store and an office
        zones:
          box: {volume: 0.12 m3}
          workshop: {volume: 40 to 60 m3, deposition: {particles: 0.5 to 3 1/h}}
          hall: {volume: 100 to 150 m3, deposition: {particles: 0.5 to 3 1/h}}
          store: {volume: 20 m3, deposition: {particles: 0.5 to 3 1/h}}
          office: {volume: 30 m3, deposition: {particles: 0.5 to 3 1/h}}
        air:
          - {loop: [box, workshop], name: leaks, flow: 0.5 to 5 m3/h}
          - {loop: [workshop, hall], name: door, flow: 50 to 200 m3/h}
          - {loop: [hall, store], name: door of the store, flow: 20 to 60 m3/h}
          - {loop: [hall, office], name: door of the office, flow: 20 to 60 m3/h}
          - {loop: [outdoors, hall], name: ventilation, flow: 50 to 200 m3/h}
        """;
}
