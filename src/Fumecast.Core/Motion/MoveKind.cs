// SPDX-License-Identifier: MIT
namespace Fumecast.Motion;

/// <summary>What a move does with filament.</summary>
internal enum MoveKind : byte
{
    /// <summary>Moves the nozzle and feeds filament.</summary>
    Print,

    /// <summary>Moves the nozzle without feeding.</summary>
    Travel,

    /// <summary>Pulls filament back, nozzle still.</summary>
    Retract,

    /// <summary>Feeds filament with the nozzle still: re-priming after a retraction, or purging.</summary>
    Feed,

    /// <summary>Moves the nozzle while pulling filament back.</summary>
    Wipe,
}
