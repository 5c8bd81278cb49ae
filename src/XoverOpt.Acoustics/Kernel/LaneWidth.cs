using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;

namespace XoverOpt.Acoustics.Kernel;

/// <summary>
/// Which lanes the machine does best with: the sources in Four, with registers of 256 bits, or what the build makes of them by name,
/// Eight, with 512 (generic lanes would do in theory, but run at a third of the speed). Lanes never mix and every operation rounds alike,
/// so results have the same bits. Grids may end where they like: the last block overlaps the one before it.
/// </summary>
internal static class LaneWidth
{
    /// <summary>Whether eight numbers at once are faster than four.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static bool IsEight(int count) => Vector512.IsHardwareAccelerated && count >= 8;
}
