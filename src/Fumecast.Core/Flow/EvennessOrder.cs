// SPDX-License-Identifier: MIT
namespace Fumecast.Flow;

/// <summary>Orders jobs by how well they suit a trial: by grade, then by the wander of the plateau, then by idle share; unknown last.</summary>
public sealed class EvennessOrder : IComparer<FlowEvenness>
{
    /// <summary>The order.</summary>
    public static EvennessOrder BestFirst { get; } = new();

    /// <inheritdoc/>
    public int Compare(FlowEvenness? x, FlowEvenness? y) => Key(x).CompareTo(Key(y));

    private static (int Grade, double Wander, double Idle) Key(FlowEvenness? flow) => (
        flow?.Grade is { } grade ? (int)grade : int.MaxValue,
        flow?.PlateauWander ?? double.PositiveInfinity,
        flow?.IdleShare ?? double.PositiveInfinity);
}
