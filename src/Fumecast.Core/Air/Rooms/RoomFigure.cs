// SPDX-License-Identifier: MIT
using Fumecast.Uncertainty;

namespace Fumecast.Air;

/// <summary>A figure of a room with its name.</summary>
/// <param name="Name">What it is, in plain words: <c>volume of room</c>. Unique in its room, and the same for the same thing in a room with a remedy.</param>
/// <param name="Figure">The figure. Tell figures apart by reference: two equal ones may stand for different things.</param>
internal sealed record RoomFigure(string Name, Figure Figure);
