"""Ray-cast synthetic films with their exact truth; pure, imports model and geometry only.

Frames, all in mm:

scene
    X to the right of the film, Y down it, D away from the viewer (source to
    receptor). Films are seen from the front, so D is also buccal to lingual.
local
    m mesial, li lingual, s apical along the axis of a tooth or root. A
    :class:`~radmeasure.phantoms.frame.Frame` goes between the two.
"""
