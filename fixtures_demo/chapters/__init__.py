"""The chapters of the demo, in the order they are played."""

from fixtures_demo.chapters import fitting, handing_over, ordering, surveying, taking_on

ALL = (
    ("The office takes the job on and books the surveyor", taking_on.play),
    ("The surveyor measures; a misread tape is caught", surveying.play),
    ("The office finds the frame that fits, and orders it", ordering.play),
    ("Delivery, and the opening measured again before anything is removed", fitting.prepare),
    ("The crew fits: packers, fixings, glass, gaps; a defect is found and put right", fitting.play),
    ("Handover, certificate, e-mail", handing_over.play),
)
