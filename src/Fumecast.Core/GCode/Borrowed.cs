// SPDX-License-Identifier: MIT
namespace Fumecast.GCode;

/// <summary>A stream read forward only that somebody else closes.</summary>
internal sealed class Borrowed(Stream owner) : ForwardStream
{
    /// <summary>The stream that is read.</summary>
    public Stream Source => owner;

    public override int Read(Span<byte> buffer) => owner.Read(buffer);
}
