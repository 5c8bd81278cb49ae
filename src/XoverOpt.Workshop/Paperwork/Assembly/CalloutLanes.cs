namespace XoverOpt.Workshop.Paperwork;

/// <summary>
/// Places labels under the things they belong to. Each begins at the foot of its own upright leader; from right to left each takes the highest lane
/// where it ends before any leader or label to its right begins that reaches so far down. So no label meets a label, and no leader crosses one.
/// </summary>
internal static class CalloutLanes
{
    /// <summary>The lane of each label, 0 the highest.</summary>
    /// <param name="items">Where the leader stands and how wide the label is, leaders from left to right, no two at one place.</param>
    /// <param name="gap">Least distance of a label from what stands to its right.</param>
    public static int[] Of(IReadOnlyList<(double X, double Width)> items, double gap)
    {
        int[] lanes = new int[items.Count];
        for (int i = items.Count - 1; i >= 0; i--)
        {
            double end = items[i].X + items[i].Width + gap;
            int lane = 0;
            for (int right = i + 1; right < items.Count; right++)
            {
                // Whoever stands to the right in this lane or reaches through it.
                if (lanes[right] >= lane && items[right].X < end)
                {
                    lane = lanes[right] + 1;
                    right = i;
                }
            }

            lanes[i] = lane;
        }

        return lanes;
    }
}
